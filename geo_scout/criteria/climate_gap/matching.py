"""The best population of every site, by either form of the gap."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.climate_match import best_match, distance_blocks_of_each, regional_distance
from geo_scout.formulas.climate_spread import interannual_spread
from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity
from geo_scout.model.climate_spread import ClimateSpread, SpreadRefusal
from geo_scout.model.quantities import Columns

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Match:
    """The best population of every site: its row (-1 for none), D, the gap, and the spread it rests on."""

    population: NDArray[np.intp]
    distance: FloatArray
    gap: FloatArray
    spreads: Sequence[ClimateSpread | None]


def spreads_of_populations(
    columns: Columns, variables: Sequence[str], usable: NDArray[np.bool_]
) -> list[ClimateSpread | SpreadRefusal | None]:
    """Return each population's year-to-year spread; None where it has no years or is not usable."""
    spreads: list[ClimateSpread | SpreadRefusal | None] = []
    for years, has_climate in zip(columns["population_years"], usable, strict=True):
        if years is None or not has_climate:
            spreads.append(None)
            continue
        year, values = years
        spreads.append(interannual_spread(values, year, variables))
    return spreads


def match_regional(site: FloatArray, population: FloatArray, spread: ClimateSpread) -> Match:
    """Return the best population of every site by the regional distance; rows of nan do not count."""
    best = best_match(site, population, spread)
    return Match(best.population, best.distance, regional_distance(best.distance), [spread] * len(population))


def match_interannual(
    site: FloatArray, population: FloatArray, spreads: Sequence[ClimateSpread | SpreadRefusal | None]
) -> Match:
    """Return the best population of every site by the sigma of that population's own years."""
    usable = [one if isinstance(one, ClimateSpread) else None for one in spreads]
    count = len(site)
    best, distance, gap = np.full(count, -1, dtype=np.intp), np.full(count, np.nan), np.full(count, np.inf)
    for kept, (row, apart) in _nearest_of_each(site, population, usable).items():
        # Of one K sigma rises with D, so it is taken of the nearest population and of no other pair.
        known = row >= 0
        sigma = np.full(count, np.inf)
        sigma[known] = sigma_dissimilarity(apart[known], kept)
        is_nearer = sigma < gap
        best[is_nearer], distance[is_nearer], gap[is_nearer] = (
            row[is_nearer],
            apart[is_nearer],
            sigma[is_nearer],
        )
    return Match(best, distance, np.where(best >= 0, gap, np.nan), usable)


def _nearest_of_each(
    site: FloatArray, population: FloatArray, spreads: Sequence[ClimateSpread | None]
) -> dict[int, tuple[NDArray[np.intp], FloatArray]]:
    """Return, by the number of components kept, the nearest population of every site, -1 for none, and D."""
    kept = np.array([0 if one is None else one.kept for one in spreads])
    found = {
        int(one): (np.full(len(site), -1, dtype=np.intp), np.full(len(site), np.nan))
        for one in np.unique(kept[kept > 0])
    }
    for rows, block in distance_blocks_of_each(site, population, spreads):
        for one, (nearest, least) in found.items():
            alike = np.flatnonzero(kept == one)
            apart = block[:, alike]
            column = np.where(np.isnan(apart), np.inf, apart).argmin(axis=1)
            least[rows] = apart[np.arange(len(apart)), column]
            nearest[rows] = np.where(np.isnan(least[rows]), -1, alike[column])
    return found
