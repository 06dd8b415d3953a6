"""Packed columns, read back here by the documented layout with plain Python."""

import base64
import gzip
import json

import numpy as np
import pytest
import shapely

from geo_scout.outputs.map.packing import (
    SHARE_STEPS,
    STEP_DEG,
    Packed,
    pack,
    pack_tree,
    packed_json,
    packed_numbers,
    packed_outlines,
    packed_shares,
)


def _columns(text: str) -> dict[str, tuple[str, list[bytes]]]:
    whole = gzip.decompress(base64.b64decode(text))
    size = int.from_bytes(whole[:4], "little")
    at, found = 4 + size, {}
    for name, column in json.loads(whole[4 : 4 + size]).items():
        streams = []
        for length in column["lengths"]:
            streams.append(whole[at : at + length])
            at += length
        found[name] = (column["kind"], streams)
    assert at == len(whole)
    return found


def _varints(stream: bytes) -> list[int]:
    values, value, bits = [], 0, 0
    for byte in stream:
        value |= (byte & 127) << bits
        bits += 7
        if byte < 128:
            values.append(value)
            value, bits = 0, 0
    return values


def _signed(value: int) -> int:
    return value // 2 if value % 2 == 0 else -(value + 1) // 2


def _outlines(column: Packed) -> list[list[list[list[tuple[int, int]]]]]:
    kind, streams = _columns(pack({"o": column}))["o"]
    assert kind == "outlines"
    polygons, rings, vertices, east, north = map(_varints, streams)
    moves = iter(zip(map(_signed, east), map(_signed, north), strict=True))
    rings_left, vertices_left = iter(rings), iter(vertices)
    first, found = (0, 0), []
    for count in polygons:
        patch = []
        for _ in range(count):
            polygon = []
            for _ in range(next(rings_left)):
                ring = []
                for number in range(next(vertices_left)):
                    x, y = next(moves)
                    before = first if number == 0 else ring[-1]
                    ring.append((before[0] + x, before[1] + y))
                    if number == 0:
                        first = ring[0]
                polygon.append(ring)
            patch.append(polygon)
        found.append(patch)
    return found


def test_outlines_come_back_to_a_hundred_thousandth_of_a_degree() -> None:
    rng = np.random.default_rng(2)
    shapes = [shapely.Point(*rng.uniform(-179, 79, 2)).buffer(rng.uniform(0.001, 0.5)) for _ in range(40)]
    shapes[3] = shapely.MultiPolygon([shapes[3], shapely.box(10, 10, 11, 11)])
    shapes[5] = shapely.Polygon(
        shapely.box(1, 1, 4, 4).exterior.coords, [shapely.box(2, 2, 3, 3).exterior.coords]
    )
    found = _outlines(packed_outlines(np.array(shapes)))
    for shape, patch in zip(shapes, found, strict=True):
        parts = list(shapely.get_parts(shape))
        assert len(patch) == len(parts)
        for part, polygon in zip(parts, patch, strict=True):
            rings = [part.exterior, *part.interiors]
            for ring, steps in zip(rings, polygon, strict=True):
                expected = np.round(np.array(ring.coords)[:-1] / STEP_DEG).astype(int)
                assert steps == [tuple(one) for one in expected.tolist()]


def test_what_is_no_ground_has_no_outline() -> None:
    shapes = np.array(
        [None, shapely.Polygon(), shapely.LineString([(0, 0), (1, 1)]), shapely.box(0, 0, 1, 1)], dtype=object
    )
    assert [len(patch) for patch in _outlines(packed_outlines(shapes))] == [0, 0, 0, 1]


def test_a_patch_smaller_than_a_step_keeps_three_vertices() -> None:
    tiny = shapely.box(5.0, 5.0, 5.000001, 5.000001)
    [[[ring]]] = _outlines(packed_outlines(np.array([tiny])))
    assert len(ring) >= 3


def test_vertices_that_fall_together_are_left_out() -> None:
    square = shapely.segmentize(shapely.box(0, 0, 1e-3, 1e-3), 1e-6)
    [[[ring]]] = _outlines(packed_outlines(np.array([square])))
    assert 400 <= len(ring) <= 401  # a hundred steps along each side, instead of a thousand vertices


def test_a_tolerance_moves_no_edge_further() -> None:
    circle = shapely.Point(7, 46).buffer(0.01, 200)
    [[[ring]]] = _outlines(packed_outlines(np.array([circle]), 2e-5))
    drawn = shapely.Polygon(np.array(ring) * STEP_DEG)
    assert len(ring) < 200
    assert shapely.hausdorff_distance(drawn.exterior, circle.exterior) < 2e-5 + STEP_DEG


def test_a_tolerance_keeps_every_ring_and_crosses_no_edges() -> None:
    """A hole, a part and a winding strip that are narrower than the tolerance."""
    pinhole = shapely.box(7.0005, 46.0005, 7.00052, 46.00052)
    holed = shapely.box(7, 46, 7.001, 46.001).difference(pinhole)
    islet = shapely.MultiPolygon(
        [shapely.box(8, 46, 8.001, 46.001), shapely.box(8.002, 46, 8.00201, 46.00201)]
    )
    turns = np.linspace(0, 6, 60)
    strip = shapely.LineString(np.column_stack([9 + turns * 1e-4, 46 + 1e-4 * np.sin(3 * turns)])).buffer(
        5e-6
    )
    shapes = np.array([holed, islet, strip])
    plain = shapely.simplify(shapes, 2e-5, preserve_topology=False)
    assert [shapely.equals(*pair) for pair in zip(plain, shapely.simplify(shapes, 2e-5), strict=True)] == [
        False,
        False,
        False,
    ]
    found = _outlines(packed_outlines(shapes, 2e-5))
    assert [[len(polygon) for polygon in patch] for patch in found] == [[2], [1, 1], [1]]
    assert all(len(ring) >= 3 for patch in found for polygon in patch for ring in polygon)


@pytest.mark.parametrize("values", [[], [0.1, -2.5, np.nan, 1e300], np.random.default_rng(1).normal(size=50)])
def test_numbers_come_back_exactly(values: list[float]) -> None:
    _, [stream] = _columns(pack({"n": packed_numbers(values)}))["n"]
    planes = np.frombuffer(stream, dtype=np.uint8).reshape(8, -1)
    assert np.array_equal(
        np.ascontiguousarray(planes.T).view("<f8").ravel(), np.asarray(values, dtype=float), equal_nan=True
    )


def test_shares_come_back_within_half_a_step() -> None:
    values = np.concatenate([[0.0, 1.0], np.random.default_rng(1).random(500)])
    _, [stream] = _columns(pack({"s": packed_shares(values)}))["s"]
    planes = np.frombuffer(stream, dtype=np.uint8).reshape(4, -1)
    found = np.ascontiguousarray(planes.T).view("<u4").ravel() / SHARE_STEPS
    assert found[:2].tolist() == [0.0, 1.0]
    assert np.abs(found - values).max() <= 0.5 / SHARE_STEPS + 1e-15


def test_a_tree_keeps_everything_but_its_packed_columns() -> None:
    tree = {
        "a": [1, 2],
        "b": [{"c": packed_numbers([1.0]), "d": "</script>"}],
        "e": [packed_shares([1.0])],
        "f": {},
    }
    found = _columns(pack_tree(tree))
    assert list(found) == ["", "b/0/c", "e/0"]
    assert json.loads(found[""][1][0]) == {
        "a": [1, 2],
        "b": [{"c": None, "d": "</script>"}],
        "e": [None],
        "f": {},
    }


def test_the_same_columns_give_the_same_text() -> None:
    assert pack({"j": packed_json({"x": "é"})}) == pack({"j": packed_json({"x": "é"})})


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON"):
        packed_json([float("nan")])


@pytest.mark.parametrize("values", [[0.5, np.nan], [-0.01], [1.01]])
def test_what_is_no_share_is_refused(values: list[float]) -> None:
    with pytest.raises(ValueError, match="outside 0 to 1"):
        packed_shares(values)


def test_a_share_that_rounding_carried_past_one_is_one() -> None:
    _, [stream] = _columns(pack({"s": packed_shares([np.nextafter(1.0, 2.0)])}))["s"]
    assert stream == bytes([255] * 4)
