"""Geodesy on shapes whose answers can be worked out on paper."""

import numpy as np
import pytest
import shapely
from pyproj import CRS, Transformer

from geo_scout.formulas.geodesy import (
    edge_distance_km,
    geodesic_area_ha,
    geodesic_km,
    nearest_edge,
    utm,
    working_crs,
)

NEAR_HERE = working_crs(-117.0, 47.0)


def centre(crs: CRS) -> tuple[float, float]:
    parameters = {
        parameter["name"]: parameter["value"] for parameter in crs.to_json_dict()["conversion"]["parameters"]
    }
    return parameters["Longitude of natural origin"], parameters["Latitude of natural origin"]


@pytest.mark.parametrize(
    ("longitudes", "latitudes", "expected"),
    [
        ([-117.9, -116.3], [46.1, 47.2], (-117, 47)),
        ([-117.9], [46.4], (-118, 46)),
        ([179.2, -178.6], [-17.0, -16.0], (-180, -16)),
        ([179.6, 179.9], [10.0, 10.0], (-180, 10)),
        ([177.0, -175.0], [10.0, 10.0], (-179, 10)),
        ([-10.0, 10.0], [80.0, 84.0], (0, 82)),
        ([350.0, 356.0], [1.0, 1.0], (-7, 1)),
        # many positions in the east do not pull the centre there: the middle is that of the extremes
        ([-120.0, -110.0, -110.1, -110.2, -110.3], [40.0] * 5, (-115, 40)),
        ([np.nan, 20.0], [1.0, 30.0], (20, 30)),
    ],
)
def test_working_crs_is_centred_on_whole_degrees(longitudes, latitudes, expected):
    assert centre(working_crs(longitudes, latitudes)) == expected


def test_working_crs_is_in_metres_east_then_north_and_keeps_its_centre_at_the_origin():
    crs = working_crs([[-118.2, -116.0], [-118.0, -116.0]], [[46.0, 46.0], [48.0, 48.2]])
    assert [axis.unit_name for axis in crs.axis_info] == ["metre", "metre"]
    assert [axis.direction for axis in crs.axis_info] == ["east", "north"]
    to_plane = Transformer.from_crs(4326, crs, always_xy=True)
    assert to_plane.transform(-117.0, 47.0) == pytest.approx((0.0, 0.0), abs=1e-6)
    easting_m, northing_m = to_plane.transform(-116.0, 48.0)
    assert easting_m == pytest.approx(74_600, abs=300)  # 1 deg x 111.3 km x cos 48
    assert northing_m == pytest.approx(111_600, abs=300)


@pytest.mark.parametrize(
    ("longitudes", "latitudes", "message"),
    [([], [], "no finite coordinates"), ([np.nan], [1.0], "no finite"), ([0.0], [91.0], "latitude 91 deg")],
)
def test_working_crs_refuses_what_it_cannot_centre_on(longitudes, latitudes, message):
    with pytest.raises(ValueError, match=message):
        working_crs(longitudes, latitudes)


def test_geodesic_km_broadcasts_and_passes_missing_positions_through():
    distance_km = geodesic_km([[0.0], [np.nan]], 0.0, [0.0, 1.0, 2.0], 0.0)
    assert distance_km.shape == (2, 3)
    # one degree of the equator is a circle's arc: 6378.137 km x pi / 180
    assert distance_km[0] == pytest.approx([0.0, 111.319490793, 222.638981586], abs=1e-8)
    assert np.isnan(distance_km[1]).all()
    assert geodesic_km([], [], [], []).shape == (0,)


def test_edge_distance_is_from_edge_to_edge_and_zero_where_shapes_meet():
    square = shapely.box(0, 0, 1000, 1000)
    others = [
        shapely.box(3000, 0, 4000, 1000),
        shapely.box(1000, 500, 2000, 600),
        shapely.box(200, 200, 300, 300),
        shapely.box(900, -500, 950, 5000),
        shapely.Point(500, 1750),
        None,
        shapely.Point(),
    ]
    distance_km = edge_distance_km([square], others, NEAR_HERE)
    assert distance_km[1:4].tolist() == [0.0, 0.0, 0.0]
    assert distance_km[[0, 4]] == pytest.approx([2.0, 0.75], rel=1e-6)
    assert np.isnan(distance_km[5:]).all()
    assert edge_distance_km([], [], NEAR_HERE).shape == (0,)


def test_edge_distance_is_measured_on_the_ground_not_on_a_stretched_map():
    web_mercator = CRS.from_epsg(3857)
    along_60_north = Transformer.from_crs(4326, web_mercator, always_xy=True)
    start, end = (shapely.Point(along_60_north.transform(longitude, 60.0)) for longitude in (10.0, 10.1))
    ground_km = float(edge_distance_km([start], [end], web_mercator)[0])
    assert ground_km == pytest.approx(5.58, abs=0.01)  # 0.1 deg x 111.6 km x cos 60
    assert start.distance(end) / 1000 == pytest.approx(11.13, abs=0.01)


def test_edge_distance_across_the_antimeridian():
    crs = working_crs([179.0, -179.0], [-17.0, -16.0])
    to_plane = Transformer.from_crs(4326, crs, always_xy=True)
    west, east = (shapely.Point(to_plane.transform(longitude, 0.0)) for longitude in (179.5, -179.5))
    assert edge_distance_km([west], [east], crs)[0] == pytest.approx(111.31949, abs=1e-4)


def test_nearest_edge_takes_the_smallest_position_of_equally_near_targets():
    targets = [
        shapely.Point(9000, 0),
        None,
        shapely.Point(3000, 0),
        shapely.Point(-3000, 0),
        shapely.Point(3000, 0),
    ]
    shapes = [
        shapely.Point(0, 0),
        shapely.box(8000, -10, 8500, 10),
        None,
        shapely.box(-4000, -9, 4000, 9),
        shapely.Point(),
    ]
    index, distance_km = nearest_edge(shapes, targets, NEAR_HERE)
    assert index.tolist() == [2, 0, -1, 2, -1]
    assert distance_km[[0, 1, 3]] == pytest.approx([3.0, 0.5, 0.0], rel=1e-6)
    assert np.isnan(distance_km[[2, 4]]).all()


def test_nearest_edge_without_targets_or_shapes():
    index, distance_km = nearest_edge([shapely.Point(0, 0)], [], NEAR_HERE)
    assert index.tolist() == [-1]
    assert np.isnan(distance_km).all()
    index, distance_km = nearest_edge([], [shapely.Point(0, 0)], NEAR_HERE)
    assert index.shape == distance_km.shape == (0,)


def test_area_takes_holes_off_whatever_way_the_rings_run():
    outer, inner = shapely.box(0, 0, 1, 1).exterior, shapely.box(0.25, 0.25, 0.75, 0.75).exterior
    ways = [
        shapely.Polygon(a, [b])
        for a in (outer.coords, outer.coords[::-1])
        for b in (inner.coords, inner.coords[::-1])
    ]
    whole, hole = geodesic_area_ha([shapely.box(0, 0, 1, 1), shapely.box(0.25, 0.25, 0.75, 0.75)])
    assert 0.249 < hole / whole < 0.251
    assert geodesic_area_ha(ways) == pytest.approx([whole - hole] * 4, rel=1e-12)


def test_area_adds_parts_and_tells_empty_from_missing():
    first, second = shapely.box(0, 0, 0.1, 0.1), shapely.box(20, 50, 20.1, 50.1)
    separate = geodesic_area_ha([first, second])
    together = geodesic_area_ha(
        [
            shapely.MultiPolygon([first, second]),
            None,
            shapely.Polygon(),
            shapely.Point(1, 1),
            shapely.GeometryCollection(
                [shapely.Point(0, 0), shapely.GeometryCollection([shapely.MultiPolygon([first])])]
            ),
        ]
    )
    assert together[0] == pytest.approx(separate.sum(), rel=1e-12)
    assert np.isnan(together[1])
    assert together[2:4].tolist() == [0.0, 0.0]
    assert together[4] == pytest.approx(separate[0], rel=1e-12)
    assert geodesic_area_ha([]).shape == (0,)
    assert np.isnan(geodesic_area_ha([None])).all()


def test_area_of_a_strip_across_the_antimeridian_equals_the_same_strip_elsewhere():
    across = shapely.Polygon([(179.5, 10), (-179.5, 10), (-179.5, 11), (179.5, 11)])
    elsewhere = shapely.box(29.5, 10, 30.5, 11)
    areas = geodesic_area_ha([across, elsewhere])
    assert areas[0] == pytest.approx(areas[1], rel=1e-12)


@pytest.mark.parametrize(
    ("longitude", "latitude", "zone"),
    [
        (-117.0, 47.0, "11N"),
        (-120.0, 47.0, "11N"),
        (-114.0, 47.0, "12N"),
        (174.8, -41.3, "60S"),
        (180.0, 10.0, "1N"),
        (-180.0, 10.0, "1N"),
        (179.999, 10.0, "60N"),
        (5.3, 60.4, "32N"),  # Bergen: 31 by the six-degree rule
        (2.99, 60.4, "31N"),
        (5.3, 55.99, "31N"),
        (5.3, 64.0, "31N"),
        (12.0, 60.4, "33N"),
        (8.99, 78.0, "31N"),
        (9.0, 78.0, "33N"),
        (20.99, 78.0, "33N"),
        (21.0, 78.0, "35N"),
        (33.0, 78.0, "37N"),
        (41.99, 84.0, "37N"),
        (42.0, 78.0, "38N"),
        (21.0, 71.99, "34N"),
        (15.0, -78.0, "33S"),
        (0.0, 84.01, ""),
        (0.0, -80.01, ""),
        (np.nan, 10.0, ""),
        (10.0, np.nan, ""),
    ],
)
def test_utm_zone_with_the_exceptions_of_norway_and_svalbard(longitude, latitude, zone):
    found, easting_m, northing_m = utm([longitude], [latitude])
    assert found.tolist() == [zone]
    assert np.isnan(easting_m).tolist() == np.isnan(northing_m).tolist() == [zone == ""]


def test_utm_false_origin_and_shape():
    zone, easting_m, northing_m = utm([[-117.0, 147.0]], [[0.0, -1e-9]])
    assert zone.tolist() == [["11N", "55S"]]
    assert easting_m == pytest.approx(np.array([[500_000.0, 500_000.0]]), abs=1e-3)
    assert northing_m == pytest.approx(np.array([[0.0, 10_000_000.0]]), abs=1e-3)
    assert [part.shape for part in utm([], [])] == [(0,), (0,), (0,)]
