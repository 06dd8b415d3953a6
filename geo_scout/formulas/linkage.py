"""Which shapes lie close enough to be one patch, and how a patch that is too long is divided."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from shapely.geometry.base import BaseGeometry

Geometries = Sequence[BaseGeometry | None] | NDArray[np.object_]
Piece = list[tuple[int, BaseGeometry]]

# A member cut again must reach at least this share of the cap over the line: rounding does not count.
_OVER_THE_LINE_SHARE = 1e-6
# Parts smaller than this share of their member are rounding crumbs of the cut.
_CRUMB_SHARE = 1e-12


def single_linkage(
    geometries: Geometries, join_m: float, group: Sequence[object] | NDArray[np.generic] | None = None
) -> NDArray[np.intp]:
    """Return the cluster number of every shape: shapes within `join_m` of each other are together.

    Single linkage, edge to edge: A and C are together when a chain of shapes leads from one to the other
    with no step longer than `join_m`, however far apart A and C are.

    Parameters
    ----------
    geometries
        Valid shapes in planar metres, (n,). Missing or empty ones stand alone.
    join_m
        Longest gap that still joins two shapes; 0 joins what touches or overlaps [m].
    group
        Hashable labels, (n,); only shapes of an equal label are joined. None joins all.

    Returns
    -------
    numpy.ndarray
        Cluster numbers from 0, in the order in which clusters first appear, (n,).

    Raises
    ------
    ValueError
        `join_m` is negative or not finite, or `group` has another length.

    References
    ----------
    Sneath, P.H.A. 1957. The application of computers to taxonomy. Journal of General Microbiology 17:
    201-226 (from memory).

    Examples
    --------
    >>> single_linkage(shapely.points([[0, 0], [9, 0], [50, 0], [18, 0]]), join_m=10).tolist()
    [0, 0, 1, 0]
    """
    if not (np.isfinite(join_m) and join_m >= 0):
        message = f"join_m is {join_m}; it must be 0 m or more"
        raise ValueError(message)
    shapes = np.asarray(geometries, dtype=object)
    count = len(shapes)
    if count == 0:
        return np.zeros(0, dtype=np.intp)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=join_m)
    if group is not None:
        codes = _codes(group, count)
        same = codes[first] == codes[second]
        first, second = first[same], second[same]
    links = coo_array((np.ones(len(first), dtype=np.int8), (first, second)), shape=(count, count))
    _, labels = connected_components(links, directed=False)
    _, first_seen, inverse = np.unique(labels, return_index=True, return_inverse=True)
    return np.argsort(np.argsort(first_seen))[inverse].astype(np.intp)


def split_extent(geometries: Geometries, max_extent_m: float) -> list[Piece]:
    """Return one cluster divided into pieces that are no longer than `max_extent_m`.

    While a piece is too long it is divided in the middle of the longer side of its bounding box. Members
    go whole to the half that holds their centroid (on the line: to the west or south half); a member that
    is by itself longer than the cap is cut along the line. Where all members would land in one half, those
    that cross the line are cut, so the division always comes to an end.

    Parameters
    ----------
    geometries
        Valid shapes of the members of one cluster in planar metres; missing and empty ones are dropped.
    max_extent_m
        Longest extent of a piece [m].

    Returns
    -------
    list of list of (int, shapely geometry)
        The pieces, west before east and south before north at each division; each a list of (position of
        the member in `geometries`, shape or part of it). Parts of a cut polygon are polygons or
        multipolygons; crumbs without area are dropped.

    Raises
    ------
    ValueError
        `max_extent_m` is not a positive number.

    Notes
    -----
    Extent is the diagonal of the bounding box, an upper bound of the greatest distance between two points.
    Pieces hold the same shapes in whatever order the members come. A piece may be in several places: the
    two arms of a bend, for instance, when the line cuts off the bend. Areas add up to those of the
    members, but for rounding.

    Examples
    --------
    >>> river = shapely.box(0, 0, 1000, 10)
    >>> [[(member, part.area) for member, part in piece] for piece in split_extent([river], 600)]
    [[(0, 5000.0)], [(0, 5000.0)]]
    """
    if not (np.isfinite(max_extent_m) and max_extent_m > 0):
        message = f"max_extent_m is {max_extent_m}; it must be more than 0 m"
        raise ValueError(message)
    members = [(i, shape) for i, shape in enumerate(geometries) if shape is not None and not shape.is_empty]
    waiting: list[Piece] = [members] if members else []
    pieces: list[Piece] = []
    while waiting:
        piece = waiting.pop()
        halves = _halves(piece, max_extent_m)
        if halves is None:
            pieces.append(piece)
        else:
            waiting.extend(half for half in reversed(halves) if half)
    return pieces


def _halves(piece: Piece, max_extent_m: float) -> tuple[Piece, Piece] | None:
    shapes = np.array([shape for _, shape in piece], dtype=object)
    bounds = shapely.bounds(shapes)
    west_south, east_north = bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
    sides = east_north - west_south
    if np.hypot(*sides) <= max_extent_m:
        return None
    axis = 0 if sides[0] >= sides[1] else 1
    line = float((west_south[axis] + east_north[axis]) / 2)
    if not west_south[axis] < line < east_north[axis]:  # as short as floating point numbers go
        return None
    goes_low = shapely.get_coordinates(shapely.centroid(shapes))[:, axis] <= line
    below, above = line - bounds[:, axis], bounds[:, axis + 2] - line
    own_extent = np.hypot(*(bounds[:, 2:] - bounds[:, :2]).T)
    is_cut = (own_extent > max_extent_m) & (np.minimum(below, above) > _OVER_THE_LINE_SHARE * max_extent_m)
    if not is_cut.any() and goes_low.all() == goes_low.any():
        is_cut = (below > 0) & (above > 0)
    low_box, high_box = _half_planes(west_south, east_north, axis, line)
    low: Piece = []
    high: Piece = []
    for (member, shape), cut, is_low in zip(piece, is_cut, goes_low, strict=True):
        if cut:
            low.extend((member, part) for part in _cut(shape, low_box))
            high.extend((member, part) for part in _cut(shape, high_box))
        else:
            (low if is_low else high).append((member, shape))
    return low, high


def _half_planes(
    west_south: NDArray[np.float64], east_north: NDArray[np.float64], axis: int, line: float
) -> tuple[BaseGeometry, BaseGeometry]:
    margin = float((east_north - west_south).max())
    west, south = (west_south - margin).tolist()
    east, north = (east_north + margin).tolist()
    if axis == 0:
        return shapely.box(west, south, line, north), shapely.box(line, south, east, north)
    return shapely.box(west, south, east, line), shapely.box(west, line, east, north)


def _cut(shape: BaseGeometry, half_plane: BaseGeometry) -> list[BaseGeometry]:
    """Return what of the shape lies in the half-plane: nothing, or one shape of the same kind."""
    dimension = shapely.get_dimensions(shape)
    measure = shapely.area if dimension == 2 else shapely.length
    parts = shapely.get_parts(shapely.get_parts(shapely.intersection(shape, half_plane)))
    # What only touches the half-plane is of a lower dimension and measures 0.
    kept = parts[measure(parts) > _CRUMB_SHARE * measure(shape)]
    if len(kept) <= 1:
        return list(kept)
    return [shapely.MultiPolygon(list(kept)) if dimension == 2 else shapely.MultiLineString(list(kept))]


def _codes(group: Sequence[object] | NDArray[np.generic], count: int) -> NDArray[np.intp]:
    if len(group) != count:
        message = f"{len(group)} group labels for {count} shapes"
        raise ValueError(message)
    numbers: dict[object, int] = {}
    return np.array([numbers.setdefault(label, len(numbers)) for label in group], dtype=np.intp)
