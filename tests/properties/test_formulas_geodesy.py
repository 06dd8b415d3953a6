"""Geodesy: what must hold for any position and any shape."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.formulas.geodesy import (
    edge_distance_km,
    geodesic_area_ha,
    geodesic_km,
    nearest_edge,
    utm,
    working_crs,
)

UNTIMED = settings(deadline=None)  # the machine may be busy
HERE = working_crs(-117.0, 47.0)
longitudes = st.floats(-180, 180)
latitudes = st.floats(-90, 90)
metres = st.integers(-60_000, 60_000).map(float)
boxes = st.builds(
    lambda west, south, width, height: shapely.box(west, south, west + width, south + height),
    metres,
    metres,
    st.integers(1, 5_000),
    st.integers(1, 5_000),
)


@UNTIMED
@given(longitudes, st.lists(st.tuples(st.floats(0, 150), latitudes), min_size=1, max_size=6))
def test_the_working_projection_is_centred_on_its_data_whatever_their_order(west, positions):
    arc, latitude = np.array(positions).T
    longitude = (west + arc + 180.0) % 360.0 - 180.0
    crs = working_crs(longitude, latitude)
    assert crs == working_crs(longitude[::-1], latitude[::-1])
    centre_longitude, centre_latitude = (int(part) for part in crs.name.split()[-2:])
    middle = west + (arc.min() + arc.max()) / 2
    assert abs((centre_longitude - middle + 180.0) % 360.0 - 180.0) <= 0.5 + 1e-9
    assert abs(centre_latitude - (latitude.min() + latitude.max()) / 2) <= 0.5


@UNTIMED
@given(longitudes, latitudes, longitudes, latitudes, longitudes, latitudes)
def test_distance_is_a_distance(longitude1, latitude1, longitude2, latitude2, longitude3, latitude3):
    first, second, third = (longitude1, latitude1), (longitude2, latitude2), (longitude3, latitude3)
    there = float(geodesic_km(*first, *second))
    assert there >= 0
    assert geodesic_km(*first, *first) == 0
    assert there == pytest.approx(float(geodesic_km(*second, *first)), abs=1e-8)
    assert there <= float(geodesic_km(*first, *third)) + float(geodesic_km(*third, *second)) + 1e-6


@UNTIMED
@given(boxes, boxes)
def test_edge_distance_is_symmetric_close_to_the_plane_and_zero_only_where_shapes_meet(first, second):
    there, back = edge_distance_km([first, second], [second, first], HERE)
    planar_km = first.distance(second) / 1000
    # at most 85 km from the centre the projection stretches lengths by less than 1 part in 10,000
    assert there == pytest.approx(back, rel=1e-4)
    assert there == pytest.approx(planar_km, rel=1e-4, abs=1e-6)
    assert (there == 0) == first.intersects(second)


@UNTIMED
@given(st.lists(boxes, max_size=6), st.lists(boxes, max_size=6))
def test_nearest_edge_agrees_with_trying_every_target(shapes, targets):
    index, distance_km = nearest_edge(shapes, targets, HERE)
    for position, shape in enumerate(shapes):
        if not targets:
            assert index[position] == -1
            continue
        planar = [shape.distance(target) for target in targets]
        assert index[position] == planar.index(min(planar))
        assert distance_km[position] == edge_distance_km([shape], [targets[index[position]]], HERE)[0]


@UNTIMED
@given(
    st.floats(-170, 170),
    st.floats(-80, 80),
    st.floats(0.01, 2),
    st.floats(0.01, 2),
    st.floats(0.1, 0.9),
    st.booleans(),
)
def test_area_adds_up_and_ignores_the_direction_of_rings(west, south, width, height, share, reverse):
    middle = west + share * width
    # the common side is a meridian, which is a geodesic, so both halves make the whole but for the bulge
    # of the two sides along parallels: give the whole the same middle vertices
    north = south + height
    left = [(west, south), (middle, south), (middle, north), (west, north)]
    right = [(middle, south), (west + width, south), (west + width, north), (middle, north)]
    whole = [left[0], left[1], right[1], right[2], left[2], left[3]]
    rings = [ring[::-1] if reverse else ring for ring in (left, right, whole)]
    areas = geodesic_area_ha([shapely.Polygon(ring) for ring in rings])
    assert (areas > 0).all()
    assert areas[0] + areas[1] == pytest.approx(areas[2], rel=1e-6)
    assert areas[2] == pytest.approx(geodesic_area_ha([shapely.Polygon(whole)])[0], rel=1e-12)


@UNTIMED
@given(st.lists(st.tuples(longitudes, latitudes), max_size=8))
def test_utm_is_the_same_alone_and_in_company(positions):
    longitude, latitude = np.array(positions).reshape(-1, 2).T
    together = utm(longitude, latitude)
    for position, (alone_longitude, alone_latitude) in enumerate(positions):
        alone = utm(alone_longitude, alone_latitude)
        assert together[0][position] == str(alone[0])
        np.testing.assert_array_equal(
            [part[position] for part in together[1:]], [float(part) for part in alone[1:]]
        )
        assert (str(alone[0]) == "") == (not -80 <= alone_latitude <= 84)
        if str(alone[0]):
            assert 100_000 < float(alone[1]) < 900_000
            assert 0 <= float(alone[2]) <= 10_000_000
