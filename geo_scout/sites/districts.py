"""Infestations cut where they cross a district or jurisdiction boundary."""

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geo_scout.sites.ground import only_ground


def split_by_district(
    infestations: gpd.GeoDataFrame, boundaries: gpd.GeoDataFrame | None
) -> gpd.GeoDataFrame:
    """Return infestations with ``district`` and ``jurisdiction``, cut where they cross a boundary.

    Parameters
    ----------
    infestations
        Polygons in a planar CRS [m].
    boundaries
        Polygons with ``district`` and ``jurisdiction``; where they overlap, the first wins.

    Returns
    -------
    GeoDataFrame
        One row per infestation and district, in file order; "" outside every district.
    """
    if boundaries is None or boundaries.empty:
        return infestations.assign(district="", jurisdiction="")
    shapes, districts = infestations.geometry.to_numpy(), boundaries.geometry.to_numpy()
    tree = shapely.STRtree(shapes)
    meets, met = tree.query(districts, predicate="intersects")
    order = np.lexsort((meets, met))
    meets, met = meets[order], met[order]
    holds, held = tree.query(districts, predicate="covers")
    first = np.full(len(shapes), len(districts))
    np.minimum.at(first, met, meets)
    district_of = np.where(first < len(districts), first, -1)
    whole = district_of < 0
    whole[held[holds == first[held]]] = True
    rows, holders, pieces = [np.flatnonzero(whole)], [district_of[whole]], [shapes[whole]]
    for row in np.flatnonzero(~whole):
        candidates = meets[np.searchsorted(met, row) : np.searchsorted(met, row, side="right")]
        cut = _cut(shapes[row], districts, candidates)
        rows.append(np.full(len(cut), row))
        holders.append(np.array([holder for holder, _ in cut], dtype=int))
        pieces.append(np.array([piece for _, piece in cut], dtype=object))
    row_index, holder_index = np.concatenate(rows), np.concatenate(holders)
    order = np.lexsort((holder_index, row_index))
    split = infestations.iloc[row_index[order]].reset_index(drop=True)
    split = split.set_geometry(gpd.GeoSeries(np.concatenate(pieces)[order], crs=infestations.crs))
    return split.assign(
        district=_named(boundaries["district"], holder_index[order]),
        jurisdiction=_named(boundaries["jurisdiction"], holder_index[order]),
    )


def _named(names: pd.Series, holders: NDArray[np.intp]) -> NDArray[np.object_]:
    return np.append(names.to_numpy(dtype=object), "")[holders]


def _cut(
    shape: BaseGeometry, districts: NDArray[np.object_], candidates: NDArray[np.intp]
) -> list[tuple[int, BaseGeometry]]:
    """Return (district index, piece) pairs; index -1 for what lies outside every district."""
    pieces: list[tuple[int, BaseGeometry]] = []
    rest = shape
    for candidate in candidates:
        pieces.append((int(candidate), only_ground(shapely.intersection(rest, districts[candidate]), shape)))
        rest = shapely.difference(rest, districts[candidate])
    pieces.append((-1, only_ground(rest, shape)))
    return [(district, piece) for district, piece in pieces if not piece.is_empty] or [(-1, shape)]
