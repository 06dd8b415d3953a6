"""The climate gap between release sites and the sources that could supply them, pair by pair."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.criteria.climate_gap.offered import is_interannual, spreads_of_offered
from geo_scout.formulas.climate_match import (
    distance_blocks,
    distance_blocks_of_each,
    distance_of_pairs,
    regional_distance,
)
from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity
from geo_scout.model.climate_spread import ClimateSpread
from geo_scout.model.quantities import Columns

MOST_SOURCES, MOST_SITES = 6, 12
PAIR_COLUMNS = ("site_id", "source_site_id", "climate_gap", "source_order", "site_order")
# Distances of whole blocks are rough by some 1e-7; what could be among the nearest is then measured exactly.
_ROUGH = 1e-5
_EQUAL_DECIMALS = 9
FloatArray = NDArray[np.float64]
RowArray = NDArray[np.intp]


@dataclass(frozen=True)
class _Offer:
    """Climate, site_id and spread of the populations that ranked sources offer, in their order."""

    climate: FloatArray
    site_ids: NDArray[np.object_]
    spreads: list[ClimateSpread]
    is_interannual: bool

    @property
    def kept(self) -> NDArray[np.int64]:
        """Components that differences from each are compared in: sigmas of one number rise with D."""
        return np.array([one.kept for one in self.spreads], dtype=np.int64)


def possible_sources(
    columns: Columns, site_ids: Sequence[str], release_ids: Sequence[str], source_ids: Sequence[str]
) -> pd.DataFrame:
    """Return the ranked sources nearest in climate to each ranked release site, and the other way round.

    Parameters
    ----------
    columns
        The quantities the climate gap is measured from.
    site_ids
        ``site_id`` of every patch, in the order of the columns.
    release_ids, source_ids
        The ranked release sites, best first, and the ranked sources.

    Returns
    -------
    pandas.DataFrame
        One row for each pair that is kept. ``source_order`` is the place of the source among the
        `MOST_SOURCES` nearest to the site, ``site_order`` that of the site among the `MOST_SITES` nearest to
        the source, both from 1 and missing where the pair stands further down. The ``climate_gap`` of the
        first source of a site is the site's ``best_source_climate_gap``. A patch is no source of its own.
    """
    offer = _offer(columns, source_ids)
    rows = np.asarray(pd.Index(site_ids).get_indexer(pd.Index(release_ids)), dtype=np.intp)
    climate = np.asarray(columns["site_climate"], dtype=np.float64)[rows]
    names = np.asarray(release_ids, dtype=object)
    if len(offer.spreads) == 0 or len(rows) == 0:
        return pd.DataFrame({name: [] for name in PAIR_COLUMNS})
    site, source, gap = _likely_pairs(climate, names, offer)
    return _ordered(pd.DataFrame({"site": site, "source": source, "climate_gap": gap}), names, offer)


def _offer(columns: Columns, source_ids: Sequence[str]) -> _Offer:
    every = spreads_of_offered(columns, frozenset(source_ids))
    spreads = [one for one in every if one is not None]
    rows = [row for row, one in enumerate(every) if one is not None]
    climate = np.asarray(columns["population_climate"], dtype=np.float64)
    ids = np.asarray(columns["population_site_ids"], dtype=object)
    return _Offer(climate[rows], ids[rows], spreads, is_interannual(columns))


def _blocks(climate: FloatArray, offer: _Offer) -> Iterator[tuple[slice, FloatArray]]:
    if offer.is_interannual:
        return distance_blocks_of_each(climate, offer.climate, offer.spreads)
    return distance_blocks(climate, offer.climate, offer.spreads[0])


def _likely_pairs(
    climate: FloatArray, names: NDArray[np.object_], offer: _Offer
) -> tuple[RowArray, RowArray, FloatArray]:
    """Return row of the site, row of the population and gap of every pair that may be among the nearest."""
    groups = [np.flatnonzero(offer.kept == one) for one in np.unique(offer.kept)]
    least = np.full((0, len(offer.spreads)), np.inf)
    found: list[tuple[RowArray, RowArray, FloatArray]] = []
    for rows, block in _blocks(climate, offer):
        is_own = names[rows, None] == offer.site_ids[None, :]
        apart = np.where(np.isnan(block) | is_own, np.inf, block)
        least = _smallest(np.vstack([least, apart]), MOST_SITES, axis=0)
        is_near = apart <= least.max(axis=0)[None, :] + _ROUGH
        for group in groups:
            among = _smallest(apart[:, group], MOST_SOURCES, axis=1).max(axis=1, keepdims=True)
            is_near[:, group] |= apart[:, group] <= among + _ROUGH
        site, source = np.nonzero(is_near & np.isfinite(apart))
        found.append((site + rows.start, source, apart[site, source]))
    site, source, distance = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return site, source, _gaps(climate, offer, site, source, distance)


def _smallest(values: FloatArray, count: int, axis: int) -> FloatArray:
    """Return the smallest values along an axis, in any order; all where there are no more."""
    if values.shape[axis] <= count:
        return values
    return np.take(np.partition(values, count - 1, axis=axis), range(count), axis=axis)


def _gaps(
    climate: FloatArray, offer: _Offer, site: RowArray, source: RowArray, distance: FloatArray
) -> FloatArray:
    """Return the gap of each pair, as the best source of a site has it."""
    if not offer.is_interannual:
        apart = climate[site] - offer.climate[source]
        return regional_distance(distance_of_pairs(apart, offer.spreads[0]))
    gap = np.empty(len(site))
    kept = offer.kept[source]
    for one in np.unique(kept):
        gap[kept == one] = sigma_dissimilarity(distance[kept == one], int(one))
    return gap


def _ordered(pairs: pd.DataFrame, names: NDArray[np.object_], offer: _Offer) -> pd.DataFrame:
    """Return the pairs that stand high enough in either order; equal gaps keep the order of the rows."""
    pairs["rounded"] = pairs["climate_gap"].round(_EQUAL_DECIMALS)
    orders = {"source_order": ("site", "source", MOST_SOURCES), "site_order": ("source", "site", MOST_SITES)}
    for column, (of, among, most) in orders.items():
        in_order = pairs.sort_values([of, "rounded", among], kind="stable")
        place = in_order.groupby(of, sort=False).cumcount() + 1
        pairs[column] = place.where(place <= most).astype("Int64")
    kept = pairs.dropna(subset=list(orders), how="all").sort_values(["site", "rounded", "source"])
    return kept.assign(
        site_id=names[kept["site"]], source_site_id=offer.site_ids[kept["source"]]
    ).reset_index(drop=True)[list(PAIR_COLUMNS)]
