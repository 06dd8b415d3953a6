"""Large seasons in little room: columns as bytes, compressed, as one text that the page unpacks.

Ten thousand invented patches of 60 vertices are 30 MB as folium writes them. Their outlines are 0.99 MB here,
or 0.61 MB within 2e-5 degrees of what was mapped (base64 included). What makes the difference is whole
numbers of 1e-5 degrees (1.1 m), each as the step from the vertex before it, in as few bytes as it needs, and
all longitudes before all latitudes. Measured beside it at 2e-5 degrees: longitude and latitude by turns
0.61 MB, four bytes a step sorted by byte 0.65 MB, the change from step to step 0.64 MB.
"""

import base64
import gzip
import json
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

STEP_DEG = 1e-5
COMPRESSION = 6  # level 9 saves a hundredth and takes four times as long
SHARE_STEPS = 2**32 - 1


@dataclass(frozen=True)
class Packed:
    """One column as bytes.

    Parameters
    ----------
    kind
        How the page reads it back.
    streams
        Its bytes, in the order in which the page reads them.
    """

    kind: str
    streams: tuple[bytes, ...]


def pack(columns: Mapping[str, Packed]) -> str:
    """Return the columns as one text: gzip, then base64. The same columns give the same text.

    Parameters
    ----------
    columns
        By name; the page finds them under it.

    Notes
    -----
    Four bytes with the length of a JSON table come first, least significant byte first, then the table: by
    name the kind and the lengths of the streams, which follow in that order.
    """
    table = {
        name: {"kind": column.kind, "lengths": [len(stream) for stream in column.streams]}
        for name, column in columns.items()
    }
    head = json.dumps(table, ensure_ascii=True, separators=(",", ":")).encode("ascii")
    body = b"".join(stream for column in columns.values() for stream in column.streams)
    whole = len(head).to_bytes(4, "little") + head + body
    return base64.b64encode(gzip.compress(whole, COMPRESSION, mtime=0)).decode("ascii")


def pack_tree(tree: Mapping[str, object]) -> str:
    """Return a payload as one text: its packed columns, and all the rest as JSON with null in their places.

    Parameters
    ----------
    tree
        Mappings and lists; `Packed` columns anywhere in them are found by the page under their path, such as
        ``patches/0/polygons``.
    """
    columns: dict[str, Packed] = {}
    rest = _without_packed(tree, "", columns)
    return pack({"": packed_json(rest), **columns})


def _without_packed(value: object, path: str, columns: dict[str, Packed]) -> object:
    if isinstance(value, Packed):
        columns[path.removeprefix("/")] = value
        return None
    if isinstance(value, Mapping):
        return {name: _without_packed(one, f"{path}/{name}", columns) for name, one in value.items()}
    # Lists of plain values, which are most of it, are taken as they are.
    if isinstance(value, list) and any(isinstance(one, Packed | Mapping | list) for one in value[:1]):
        return [_without_packed(one, f"{path}/{number}", columns) for number, one in enumerate(value)]
    return value


def packed_json(value: object) -> Packed:
    """Return anything that JSON can carry; numbers must be finite."""
    text = json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return Packed("json", (text.encode("ascii"),))


def packed_numbers(values: ArrayLike) -> Packed:
    """Return numbers exactly, nan among them, 8 bytes each before compression.

    Notes
    -----
    All first bytes come first, then all second ones: neighbours have the same exponent, which compresses.
    """
    array = np.ascontiguousarray(np.asarray(values, dtype="<f8"))
    return Packed("numbers", (_planes(array.view(np.uint8).reshape(-1, 8)),))


def packed_shares(values: ArrayLike) -> Packed:
    """Return shares in steps of 2.3e-10, 4 bytes each before compression.

    Parameters
    ----------
    values
        Shares, (n,) [0-1]; none missing.

    Raises
    ------
    ValueError
        A value is missing or no share.
    """
    steps = np.round(np.asarray(values, dtype=np.float64) * SHARE_STEPS)
    if not np.all((steps >= 0) & (steps <= SHARE_STEPS)):
        message = "a share lies outside 0 to 1, or is missing"
        raise ValueError(message)
    return Packed("shares", (_planes(steps.astype("<u4").view(np.uint8).reshape(-1, 4)),))


def packed_outlines(geometries: NDArray[np.object_], tolerance_deg: float = 0.0) -> Packed:
    """Return polygons, with their holes, in steps of 1e-5 degrees.

    Parameters
    ----------
    geometries
        Polygons, multipolygons, empty ones or None, (n,), longitude and latitude [deg].
    tolerance_deg
        Vertices that are no further than this from the line without them are left out [deg].

    Notes
    -----
    For drawing only: no area may be taken from it. Every ring keeps three vertices or more; the closing
    vertex, and vertices that fall together, are left out.
    """
    shapes = geometries if tolerance_deg == 0.0 else _simplified(geometries, tolerance_deg)
    parts, part_of = shapely.get_parts(shapes, return_index=True)
    is_ground = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    parts, part_of = parts[is_ground], part_of[is_ground]
    rings, ring_of = shapely.get_rings(parts, return_index=True)
    degrees, vertex_of = shapely.get_coordinates(rings, return_index=True)
    steps = np.round(degrees / STEP_DEG).astype(np.int64)
    is_kept = _kept(steps, vertex_of, len(rings))
    steps, vertex_of = steps[is_kept], vertex_of[is_kept]
    is_first = np.diff(vertex_of, prepend=-1) != 0
    counts = (
        np.bincount(part_of, minlength=len(geometries)),
        np.bincount(ring_of, minlength=len(parts)),
        np.bincount(vertex_of, minlength=len(rings)),
    )
    lines = [_varint(count.astype(np.uint64)) for count in counts]
    return Packed(
        "outlines", (*lines, *(_varint(_zigzag(_moves(steps[:, axis], is_first))) for axis in (0, 1)))
    )


def _simplified(geometries: NDArray[np.object_], tolerance_deg: float) -> NDArray[np.object_]:
    """Return outlines with fewer vertices; where that would cost a ring or cross edges, the careful way.

    The careful way alone takes seven times as long.
    """
    shapes = np.asarray(shapely.simplify(geometries, tolerance_deg, preserve_topology=False))
    is_spoilt = ~shapely.is_valid(shapes) | (_ring_count(shapes) != _ring_count(geometries))
    shapes[is_spoilt] = shapely.simplify(geometries[is_spoilt], tolerance_deg)
    return shapes


def _ring_count(geometries: NDArray[np.object_]) -> NDArray[np.int32]:
    return np.asarray(shapely.get_num_geometries(shapely.boundary(geometries)))


def _kept(steps: NDArray[np.int64], ring: NDArray[np.int64], count: int) -> NDArray[np.bool_]:
    """Return the vertices to keep: not the closing one nor repeated ones; too small rings keep all."""
    is_last = np.diff(ring, append=count) != 0
    is_first = np.diff(ring, prepend=-1) != 0
    moves = np.any(np.diff(steps, axis=0, prepend=steps[:1]) != 0, axis=1) | is_first
    kept = moves & ~is_last
    is_small = np.bincount(ring[kept], minlength=count) < 3
    return np.asarray(kept | (is_small[ring] & ~is_last), dtype=np.bool_)


def _moves(steps: NDArray[np.int64], is_first: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Return the step from vertex to vertex, and from each ring's first to that of the next ring."""
    moves = np.diff(steps, prepend=0)
    moves[is_first] = np.diff(steps[is_first], prepend=0)
    return np.asarray(moves, dtype=np.int64)


def _zigzag(values: NDArray[np.int64]) -> NDArray[np.uint64]:
    """Return small whole numbers of either sign as small ones without: 0, -1, 1, -2 as 0, 1, 2, 3."""
    return np.asarray((values << 1) ^ (values >> 63)).astype(np.uint64)


def _varint(values: NDArray[np.uint64]) -> bytes:
    """Return whole numbers in as few bytes as they need, seven bits each, the lowest first."""
    sizes = np.ones(len(values), dtype=np.int64)
    for bits in range(7, 64, 7):
        sizes += values >= np.uint64(1) << np.uint64(bits)
    ends = np.cumsum(sizes)
    starts = ends - sizes
    out = np.zeros(int(ends[-1]) if len(ends) else 0, dtype=np.uint8)
    for place in range(int(sizes.max()) if len(sizes) else 0):
        here = sizes > place
        low = (values[here] >> np.uint64(7 * place)) & np.uint64(0x7F)
        more = np.where(sizes[here] > place + 1, np.uint64(0x80), np.uint64(0))
        out[starts[here] + place] = (low | more).astype(np.uint8)
    return out.tobytes()


def _planes(rows: NDArray[np.uint8]) -> bytes:
    return np.ascontiguousarray(rows.T).tobytes()
