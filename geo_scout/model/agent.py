"""The agent profile: biology with its sources, and the law as the user states it."""

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from geo_scout.model.collecting import Collecting, Count
from geo_scout.model.establishment import Establishment, Sign, Years
from geo_scout.model.folded import folded
from geo_scout.model.setting import Estimate, Sourced, Table, Texts, setting, table
from geo_scout.model.timing import Timing

LegalState = Literal["allowed", "permit", "forbidden", "moratorium", "unknown"]
LEGAL_STALE_DAYS = 365
NO_JURISDICTION = "an unmapped jurisdiction"

Km = Annotated[float, Field(ge=0.0, le=1000.0)]


class SpreadCurve(Table):
    """A published curve of distance against time: ln(km) = ln_km_per_yr t + ln_km_at_start."""

    ln_km_per_yr: float = setting(..., meaning="slope of ln(km) against years")
    ln_km_at_start: float = setting(..., meaning="ln(km) at year 0 of the fit")
    fitted_from_years: float = setting(..., meaning="first year of the fit", unit="years", least=0)
    fitted_to_years: float = setting(..., meaning="last year of the fit", unit="years", above=0)
    source: str = setting("", meaning="where the curve comes from")


class Spread(Table):
    """How the agent spreads by itself; a rate or a published curve."""

    km_per_yr: Estimate[Km] | None = setting(None, meaning="scale of spread gained each year", unit="km")
    lag_years: Sourced[Years] = setting(
        Sourced[Years](value=0.0, source="no lag unless stated"),
        meaning="years before it spreads",
        unit="years",
    )
    curve: SpreadCurve | None = setting(None, meaning="published curve instead of a rate")
    max_spread_km: Sourced[Annotated[float, Field(gt=0.0, le=1000.0)]] | None = setting(
        None, meaning="never further than this", unit="km"
    )
    largest_gap_km: Sourced[Km] | None = setting(
        None, meaning="widest ground without host it is known to cross by itself", unit="km"
    )


class ClimateLimit(Table):
    """A published limit of one named quantity, compared with that quantity only."""

    least: float | None = setting(None, meaning="lowest value the agent bears", unit="of the quantity")
    most: float | None = setting(None, meaning="highest value the agent bears", unit="of the quantity")
    source: str = setting("", meaning="where the limit comes from")


class Climate(Table):
    """What the agent's climate is."""

    variables: Texts | None = setting(None, meaning="variables of the climate gap; at most four")
    snow_shelters: Sourced[bool] | None = setting(
        None, meaning="whether snow shelters the agent from winter cold; makes a caution only"
    )
    limits: Mapping[str, ClimateLimit] = table(
        dict, meaning="hard limits by quantity, for example mean_coldest_month_min_degc"
    )


class Terrain(Table):
    """What ground suits the agent."""

    preferred_aspect_deg: Sourced[Annotated[float, Field(ge=0.0, le=360.0)]] | None = setting(
        None,
        meaning="compass direction its best slopes face, 0 north, 90 east; for the criterion aspect_match",
        unit="deg",
    )
    elevation_m: ClimateLimit | None = setting(
        None, meaning="elevations where it can live; release sites beyond them are left out", unit="m"
    )


class ReleaseSize(Table):
    """How many make a release."""

    number_per_release: Sourced[Count] | None = setting(None, meaning="agents in one release")


class KnownPopulation(Table):
    """An established population outside the season's own records."""

    name: str = setting(..., meaning="name of the place")
    longitude_deg: float | None = setting(None, meaning="longitude", unit="deg", least=-180, most=360)
    latitude_deg: float | None = setting(None, meaning="latitude", unit="deg", least=-90, most=90)
    climate: Mapping[str, float] = table(
        dict, meaning="climate values by variable, where the place lies off the rasters"
    )
    elevation_m: float | None = setting(None, meaning="elevation", unit="m", least=-500, most=9000)
    source: str = setting("", meaning="where this comes from")


class LegalStatus(Table):
    """What the law of one jurisdiction says of releasing or moving the agent, as the user found it."""

    jurisdiction: str = setting(..., meaning="name as in the boundaries layer")
    status: LegalState = setting(..., meaning="allowed, permit, forbidden, moratorium or unknown")
    authority: str = setting("", meaning="who says so")
    checked_on: dt.date | None = setting(None, meaning="day this was looked up", unit="date")

    def must_ask(self, as_of: dt.date) -> str:
        """Return why the authority must be asked before anything moves; empty when it need not."""
        if self.status == "unknown":
            return f"the legal status in {self.jurisdiction} is unknown"
        if self.checked_on is None:
            return f"the legal status in {self.jurisdiction} carries no date (checked_on)"
        age_days = (as_of - self.checked_on).days
        if age_days < 0:
            return (
                f"the legal status in {self.jurisdiction} carries a date after {as_of} "
                f"(checked_on {self.checked_on}), so nothing is known of it yet"
            )
        if age_days > LEGAL_STALE_DAYS:
            return (
                f"the legal status in {self.jurisdiction} was checked on {self.checked_on}, "
                f"{age_days} days before {as_of}; the limit is {LEGAL_STALE_DAYS} days"
            )
        return ""


def _as_list(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


class AgentProfile(Table):
    """One biological control agent."""

    format: Literal[1] = setting(..., meaning="version of this file's grammar; always 1")
    name: str = setting(..., meaning="name of the agent, as in the releases layer")
    host: str = setting(..., meaning="name of the host weed, as in the infestations layer")
    host_code: Annotated[str, Field(pattern=r"^[A-Z0-9]{2,8}$")] | None = setting(
        None, meaning="two to eight capitals that start each site_id; the host's first letters otherwise"
    )
    caution: str = setting(
        "", meaning="why to stop and ask before anything else; printed wherever it is used"
    )
    establishment: Establishment = Field(..., description="how the agent establishes")
    signs: Annotated[list[Sign], BeforeValidator(_as_list)] = table(
        list, meaning="what can be seen of it, when, and how often a visit finds it"
    )
    collecting: Collecting = table(Collecting, meaning="what a source yields")
    spread: Spread = table(Spread, meaning="how it spreads by itself")
    climate: Climate = table(Climate, meaning="what its climate is")
    timing: Timing = table(Timing, meaning="when it can be collected and received")
    terrain: Terrain = table(Terrain, meaning="what ground suits it")
    release: ReleaseSize = table(ReleaseSize, meaning="how many make a release")
    known_populations: Annotated[list[KnownPopulation], BeforeValidator(_as_list)] = table(
        list, meaning="established populations outside the season's records"
    )
    legal_status: Annotated[list[LegalStatus], BeforeValidator(_as_list)] = table(
        list, meaning="what the law says, per jurisdiction"
    )

    def legal_in(self, jurisdiction: str) -> LegalStatus:
        """Return the stated legal status in a jurisdiction; ``unknown`` where none is stated."""
        asked = folded(jurisdiction)
        for status in self.legal_status:
            if folded(status.jurisdiction) == asked:
                return status
        return LegalStatus(jurisdiction=jurisdiction or NO_JURISDICTION, status="unknown")
