"""What is not known exactly of the sites of one ranking, gathered from the rooms that know it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.criteria.climate_gap import gaps_at_lapse_errors
from geo_scout.evidence import population_uncertainty_m
from geo_scout.exclusions import SiteBook
from geo_scout.model.agent import AgentProfile
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import (
    CHANGE_CODES,
    LAPSE_ERROR_DEGC_PER_KM,
    ClimateBound,
    ClimateDoubt,
    PresenceDoubt,
    SiteDoubts,
)
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.quantities import COLUMN_OF_LIMIT, LAPSED_VARIABLES, Columns
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.sites import doubt_areas
from geo_scout.zones import population_rises_km, site_rises_km

FloatArray = NDArray[np.float64]
LAPSE_ERRORS = np.array([-1.0, -0.5, 0.0, 0.5, 1.0]) * LAPSE_ERROR_DEGC_PER_KM
"""Errors at which the gap is measured again; between them it is read off a straight line [degC/km]."""
SPACING_HELD = (
    "Sites left out for their distance to a better one (min_spacing_km) stay out in every draw, and no other "
    "is left out for it: which of two close sites goes would hang on the order of each draw."
)


def climate_doubt(
    agent: AgentProfile,
    season: Season,
    sites: Sites,
    evidence: Evidence,
    zones: ZoneTable,
    columns: Columns,
    gap: CriterionValue | None,
) -> ClimateDoubt:
    """Return how unsure the climate of one agent's sites is; its bounds are added by `site_doubts`.

    Parameters
    ----------
    agent, season, sites, evidence, zones
        As for `collect_quantities`, which gave the columns.
    columns
        The quantities of the criteria.
    gap
        The measured climate gap; None where no criterion asks for it.
    """
    climate = season.settings.climate
    rise_km = site_rises_km(zones, sites, climate)
    population_km = population_rises_km(agent, evidence, zones, climate)
    measured = np.zeros((len(sites), 0))
    if gap is not None and gap.known.any() and (rise_km.any() or population_km.any()):
        measured = gaps_at_lapse_errors(columns, rise_km, population_km, LAPSE_ERRORS)
    return ClimateDoubt(rise_km, (), LAPSE_ERRORS, measured)


def site_doubts(book: SiteBook, climate: ClimateDoubt, exclusions: Sequence[Exclusion]) -> SiteDoubts:
    """Return everything a draw may change in one ranking.

    Parameters
    ----------
    book
        The ranking's book.
    climate
        Of the agent.
    exclusions
        Every reason for every site left out, those of spacing among them.
    """
    season, records = book.season, book.evidence.sites
    certain = {one.site_id for one in exclusions if one.code not in CHANGE_CODES}
    ids = book.sites.site_ids
    is_limited = book.role == "release"
    return SiteDoubts(
        agent=book.agent.name,
        site_ids=tuple(ids),
        is_out=np.array([site_id in certain for site_id in ids], dtype=np.bool_),
        area=doubt_areas(
            book.sites,
            season.as_of,
            season.settings.ranking.survey_change_share,
            season.rules.min_infested_ha,
        ),
        presence=PresenceDoubt(
            low_share=records["presence_low_share"].to_numpy(dtype=np.float64),
            best_share=records["presence_share"].to_numpy(dtype=np.float64),
            high_share=records["presence_high_share"].to_numpy(dtype=np.float64),
            most_share=season.rules.max_wasted_share if is_limited else None,
            exempt=(records["confirmed"].astype(bool) | (records["purpose"] == "supplement")).to_numpy(),
        ),
        climate=ClimateDoubt(climate.rise_km, _bounds(book), climate.error_degc_per_km, climate.gap),
        population_m=population_uncertainty_m(book.evidence),
        held=(SPACING_HELD,) if is_limited and season.rules.min_spacing_km is not None else (),
    )


def _bounds(book: SiteBook) -> tuple[ClimateBound, ...]:
    bounds = []
    for name, limit in book.agent.climate.limits.items():
        column = COLUMN_OF_LIMIT.get(name)
        if column is not None and column in book.climate:
            values = book.climate[column].to_numpy(dtype=np.float64)
            bounds.append(ClimateBound(values, limit.least, limit.most, column in LAPSED_VARIABLES))
    return tuple(bounds)
