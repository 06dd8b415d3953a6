"""Of the sources that are ranked, the one whose climate is nearest to each site."""

from collections.abc import Collection, Sequence
from dataclasses import replace

import numpy as np

from geo_scout.criteria.climate_gap.matching import Match, match_interannual, match_regional
from geo_scout.criteria.climate_gap.offered import is_interannual, spreads_of_offered
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
    match = _match(columns, spreads_of_offered(columns, ranked_ids))
    if match is None:
        why = NONE_WITH_CLIMATE if ranked_ids else NONE_RANKED
        note = np.where(gap.known, why, "").astype(object)
        return replace(gap, details={**gap.details, "best_source_note": note})
    named = np.where(match.population >= 0, ids[match.population], "").astype(object)
    found = {"best_source_site_id": named, "best_source_climate_gap": match.gap}
    return replace(gap, details={**gap.details, **found})


def _match(columns: Columns, spreads: Sequence[ClimateSpread | None]) -> Match | None:
    """Return the best of the populations that have a spread; None where none has."""
    spread = next((one for one in spreads if one is not None), None)
    if spread is None:
        return None
    site = np.asarray(columns["site_climate"], dtype=np.float64)
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    if is_interannual(columns):
        return match_interannual(site, population, spreads)
    is_offered = np.array([one is not None for one in spreads], dtype=np.bool_)
    return match_regional(site, np.where(is_offered[:, None], population, np.nan), spread)
