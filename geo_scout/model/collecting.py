"""What a source yields: catches, how soon they are out of date, and how much may be taken."""

from typing import Annotated

from pydantic import Field

from geo_scout.model.establishment import Hours
from geo_scout.model.setting import Sourced, Table, Texts, setting

Count = Annotated[int, Field(ge=1)]


class Collecting(Table):
    """What a source yields. No published safe share to take was found, so none is assumed."""

    methods: Texts = setting(
        (),
        meaning="ways of looking whose counts are catches, in the words of the visits layer; left out, all",
    )
    hours_on_site: Sourced[Hours] | None = setting(
        None, meaning="person-hours of collecting at one source in one season", unit="hours"
    )
    max_take: Sourced[Count] | None = setting(
        None, meaning="most agents you allow to be taken from one source in one season"
    )
    halving_years: Sourced[Annotated[float, Field(gt=0.0, le=100.0)]] | None = setting(
        None,
        meaning="years after which a catch counts half, for sources decline as their weed does",
        unit="years",
    )
    widening_per_yr: Sourced[Annotated[float, Field(ge=1.0, le=100.0)]] | None = setting(
        None,
        meaning="factor by which a catch becomes less sure with each year since: with 2 it is half to twice "
        "itself after one year",
    )
