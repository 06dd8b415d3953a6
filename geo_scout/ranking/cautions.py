"""What a person must know of one site before going there, in one line per thing."""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import pandas as pd

from geo_scout.model.agent import AgentProfile
from geo_scout.model.cautions import PERMISSION_UNKNOWN
from geo_scout.model.criteria import Role
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.evidence import Evidence
from geo_scout.model.presence import percent_range
from geo_scout.model.quantities import COLUMN_OF_LIMIT, EXTREMES, HEAT_SUM
from geo_scout.model.rows import each_row
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.ranking.score import ScoredSites

_NO_VALUE = "no climate layer has a value here"
_NEEDED = {
    name: "it needs ten years of daily temperatures near by, or the layer extremes" for name in EXTREMES
}
_NEEDED[HEAT_SUM] = "no temperatures are known here"
OLD_SURVEY_YEARS = 5.0
"""Age from which a survey is called old. Our choice."""


def site_cautions(
    agent: AgentProfile,
    role: Role,
    season: Season,
    sites: Sites,
    evidence: Evidence,
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    climate: pd.DataFrame,
) -> pd.DataFrame:
    """Return ``cautions``, ``public_cautions`` and ``stop_and_ask``, one row per patch in their order.

    The public column leaves out what names a manager's answer or a kind of land. The last one is the open
    question about the law alone, empty where there is none.
    """
    asked = _land_to_ask(sites)
    jurisdictions = set(sites.patches["jurisdiction"])
    law = {name: tuple(_law(agent, name, season)) for name in jurisdictions}
    questions = {name: _question(agent, name, season) for name in jurisdictions}
    rows = []
    for index, (patch, records) in enumerate(
        zip(each_row(sites.patches), each_row(evidence.sites), strict=True)
    ):
        private = [
            *_permission(patch, asked.get(patch.site_id, "")),
            *_supplement(agent, role, records, season.rules.occupied_km),
            *_lost(agent, role, records),
        ]
        public = [
            *law[patch.jurisdiction],
            *_records(agent, role, records, season.settings.records.unlikely_to_share),
            *_survey(patch),
            *_missing(measures, scored, index),
            *_unchecked(agent, climate, index),
            *_unchecked_ground(agent, role, season, climate, index),
        ]
        rows.append((" ".join([*private, *public]), " ".join(public), questions[patch.jurisdiction]))
    return pd.DataFrame(rows, columns=["cautions", "public_cautions", "stop_and_ask"])


def _question(agent: AgentProfile, jurisdiction: str, season: Season) -> str:
    reasons = (agent.caution.removesuffix("."), agent.legal_in(jurisdiction).must_ask(season.as_of))
    return " ".join(f"STOP AND ASK: {reason}." for reason in reasons if reason)


def _law(agent: AgentProfile, jurisdiction: str, season: Season) -> Iterator[str]:
    status = agent.legal_in(jurisdiction)
    question = _question(agent, jurisdiction, season)
    if question:
        yield question
    if status.status == "permit":
        authority = f" from {status.authority}" if status.authority else ""
        yield f"A permit{authority} is needed in {jurisdiction}."


def _permission(patch: Any, asked: str) -> Iterator[str]:
    if patch.permission == "unknown":
        yield PERMISSION_UNKNOWN
    if asked:
        yield f"Ask before going: {asked}."


def _land_to_ask(sites: Sites) -> dict[str, str]:
    """Return, per site, its land classes whose rule is ask, and forbidden slivers."""
    texts: dict[str, str] = {}
    for row in each_row(sites.land[sites.land["rule"].isin(["ask", "forbid"])]):
        part = f"{row.share:.0%} on {row.land_class}" + (" (forbidden)" if row.rule == "forbid" else "")
        texts[row.site_id] = f"{texts[row.site_id]}, {part}" if row.site_id in texts else part
    return texts


def _records(agent: AgentProfile, role: Role, records: Any, unlikely_to_share: float) -> Iterator[str]:
    if role == "release":
        yield from _here_already(agent, records, unlikely_to_share)
    is_too_early = not records.confirmed and records.state != "lost"
    if role == "release" and is_too_early and records.latest_result.startswith("found"):
        yield f"{agent.name} {records.latest_result}, too early after the release to confirm."
    if role == "source" and records.confirmed and records.latest_result.startswith("not found"):
        yield f"{agent.name} {records.latest_result}, after it was confirmed in {records.confirmed_year:.0f}."


def _here_already(agent: AgentProfile, records: Any, unlikely_to_share: float) -> Iterator[str]:
    """Yield how likely it is that a release is wasted here, where that is worth a thought."""
    chance = percent_range(records.presence_low_share, records.presence_share, records.presence_high_share)
    if records.unvisited_release_ids:
        since = f"Not visited since release {records.unvisited_release_ids}"
        yield f"{since}: the chance that {agent.name} is here already is {chance}."
    elif not records.confirmed and records.presence_share > unlikely_to_share:
        yield f"The chance that {agent.name} is here already is {chance}."


def _lost(agent: AgentProfile, role: Role, records: Any) -> Iterator[str]:
    """Yield that a population was lost here, and how; the how may name a treatment."""
    if role == "release" and records.state == "lost":
        yield f"{agent.name}: {records.state_words}"


def _supplement(agent: AgentProfile, role: Role, records: Any, occupied_km: float) -> Iterator[str]:
    """Yield that a site is on the list although the agent is there, because its purpose allows it."""
    if role != "release" or records.purpose != "supplement":
        return
    if records.confirmed:
        yield (
            f"Supplement: {agent.name} was confirmed here in {records.confirmed_year:.0f} "
            f"(latest visit: {records.latest_result}); this release adds to it and starts no new population."
        )
    elif occupied_km > 0 and records.population_distance_km <= occupied_km:
        yield (
            f"Supplement: {agent.name} is confirmed {records.population_distance_km:.3f} km away, within "
            f"occupied_km ({occupied_km:g} km)."
        )


def _survey(patch: Any) -> Iterator[str]:
    if pd.isna(patch.survey_date):
        yield "The survey has no date."
    elif patch.survey_age_years >= OLD_SURVEY_YEARS:
        yield f"Last surveyed {patch.survey_date:%Y-%m-%d}, {patch.survey_age_years:.0f} years ago."
    elif patch.survey_date_oldest.year < patch.survey_date.year:
        yield f"Part of the patch was last surveyed in {patch.survey_date_oldest.year}."


def _missing(measures: Mapping[str, CriterionValue], scored: ScoredSites, index: int) -> Iterator[str]:
    missing = [name.replace("_", " ") for name, measure in measures.items() if not measure.known[index]]
    if missing:
        low, high = scored.score_low[index], scored.score_high[index]
        yield f"Not measured: {', '.join(missing)}; the score lies between {low:.3f} and {high:.3f}."


def _unchecked(agent: AgentProfile, climate: pd.DataFrame, index: int) -> Iterator[str]:
    snow = agent.climate.snow_shelters
    for name in agent.climate.limits:
        column = COLUMN_OF_LIMIT[name]
        if column not in climate or np.isnan(climate[column].iloc[index]):
            yield f"The limit {name} was not checked: {_NEEDED.get(name, _NO_VALUE)}."
        if snow is not None and snow.value and name == EXTREMES[0]:
            source = f" ({snow.source})" if snow.source else ""
            yield f"Snow shelters it from cold{source}: ask how much lies here in winter."


def _unchecked_ground(
    agent: AgentProfile, role: Role, season: Season, climate: pd.DataFrame, index: int
) -> Iterator[str]:
    """Yield the limits on slope and elevation that could not be checked here."""
    if season.rules.max_slope_deg is not None and _lacks(climate, "steep_share", index):
        yield "The limit max_slope_deg was not checked: no elevation layer has a slope here."
    if role == "release" and agent.terrain.elevation_m and _lacks(climate, "elevation_m", index):
        yield "The limit elevation_m was not checked: no elevation layer has a value here."


def _lacks(quantities: pd.DataFrame, name: str, index: int) -> bool:
    return name not in quantities or bool(np.isnan(quantities[name].iloc[index]))
