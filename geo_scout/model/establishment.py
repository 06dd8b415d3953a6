"""How an agent establishes and stays, and what a visit can see of it."""

from typing import Annotated

from pydantic import Field

from geo_scout.model.heat_model import MonthDay
from geo_scout.model.setting import Estimate, Sourced, Table, Texts, setting

Share = Annotated[float, Field(ge=0.0, le=1.0)]
Years = Annotated[float, Field(ge=0.0, le=100.0)]
Hours = Annotated[float, Field(gt=0.0, le=1000.0)]


class Establishment(Table):
    """How the agent establishes and stays."""

    prior_share: Estimate[Share] = setting(
        ..., meaning="chance that one release establishes, before any visit", unit="share"
    )
    persistence_share: Estimate[Share] | None = setting(
        None,
        meaning="chance that a population alive one year is alive the next; left out, it stays, and every "
        "sentence says 'if nothing has happened since'",
        unit="share",
    )
    years_to_confirm: Sourced[Years] | None = setting(
        None, meaning="years after release before a find can be called establishment", unit="years"
    )
    years_to_harvest: Sourced[Years] | None = setting(
        None, meaning="years after release before agents may be collected", unit="years"
    )
    first_detectable_years: Sourced[Years] | None = setting(
        None, meaning="years after release before a visit can find the agent", unit="years"
    )


class Sign(Table):
    """One thing to be seen of the agent, a stage or its damage: when, and how often a visit finds it."""

    name: str = setting(..., meaning='what to look for, for example "adults on stems" or "exit holes"')
    methods: Texts = setting(..., meaning="ways of looking, in the words of the visits layer")
    first_day: str = setting(..., meaning="first day of the year on which it can be seen", unit="MM-DD")
    last_day: str = setting(..., meaning="last day on which it can be seen, New Year or not", unit="MM-DD")
    found_share: Estimate[Share] = setting(
        ...,
        meaning="chance that effort_hours of looking find it where the agent lives; never the share of "
        "releases found again, which says something else",
        unit="share",
    )
    effort_hours: Sourced[Hours] = setting(
        ..., meaning="person-hours of looking that found_share is meant for", unit="hours"
    )
    wrong_share: Estimate[Share] | None = setting(
        None,
        meaning="chance that a visit reports it where the agent does not live; left out, none, and with a "
        "voucher none",
        unit="share",
    )

    @property
    def days(self) -> tuple[MonthDay, MonthDay]:
        """First and last day of the year on which it can be seen."""
        return MonthDay.of_text(self.first_day), MonthDay.of_text(self.last_day)
