"""Of the sources that are ranked, the one whose climate is nearest to each site."""

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from geo_scout.criteria.climate_gap.matching import (
    Match,
    match_interannual,
    match_regional,
    spreads_of_populations,
)
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.model.climate_spread import ClimateSpread
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NONE_RANKED = "no source is ranked"
NONE_WITH_CLIMATE = "no ranked source has a climate to compare"


def with_best_sources(gap: CriterionValue, columns: Columns, ranked_ids: Collection[str]) -> CriterionValue:
    """Return a climate gap whose details name the best ranked source of every site, and the gap to it.

    The gap is measured before the sources are ranked, and a source that is left out supplies nothing; so
    this is asked afterwards, by the same distances, of the populations in the patches of ranked sources
    alone.

    Parameters
    ----------
    gap
        The measure of the criterion ``climate_gap``.
    columns
        The quantities it was measured from.
    ranked_ids
        ``site_id`` of every source that is ranked.

    Returns
    -------
    CriterionValue
        The same measure; ``best_source_site_id`` and ``best_source_climate_gap`` are empty and nan where
        there is none, and ``best_source_note`` says why. A site whose gap is not known has none of the
        three.
    """
    if not gap.known.any():
        return gap
    ids = np.asarray(columns["population_site_ids"], dtype=object)
    is_offered = np.array([one in ranked_ids for one in ids], dtype=np.bool_)
    match = _match(columns, is_offered)
    if match is None:
        why = NONE_WITH_CLIMATE if ranked_ids else NONE_RANKED
        note = np.where(gap.known, why, "").astype(object)
        return replace(gap, details={**gap.details, "best_source_note": note})
    named = np.where(match.population >= 0, ids[match.population], "").astype(object)
    found = {"best_source_site_id": named, "best_source_climate_gap": match.gap}
    return replace(gap, details={**gap.details, **found})


def _match(columns: Columns, is_offered: "np.ndarray[tuple[int], np.dtype[np.bool_]]") -> Match | None:
    """Return the best of the offered populations; None where none of them can be compared."""
    site = np.asarray(columns["site_climate"], dtype=np.float64)
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    variables = [str(name) for name in columns["climate_variables"]]
    usable = np.asarray(is_offered & ~np.isnan(population).any(axis=1))
    if not usable.any():
        return None
    if "interannual" not in columns["climate_gap_kind"]:
        spread = regional_spread(columns["climate_cells"], variables)
        offered = np.where(usable[:, None], population, np.nan)
        return match_regional(site, offered, spread) if isinstance(spread, ClimateSpread) else None
    spreads = spreads_of_populations(columns, variables, usable)
    if not any(isinstance(one, ClimateSpread) for one in spreads):
        return None
    return match_interannual(site, population, spreads)
