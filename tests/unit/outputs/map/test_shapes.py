"""Geometry for the page: six decimals, holes kept, shared edges once, no attributes."""

import geopandas as gpd
import numpy as np
import shapely

from geo_scout.outputs.map.shapes import bare_collection, edges_once, points, polygons


def test_holes_and_parts_are_kept() -> None:
    square = shapely.Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(1, 1), (2, 1), (2, 2), (1, 2)]])
    [both] = polygons(np.array([shapely.MultiPolygon([square, shapely.box(10, 10, 11, 11)])]))
    assert [len(polygon) for polygon in both] == [2, 1]
    assert both[0][0] == [0.0, 0.0, 4.0, 0.0, 4.0, 4.0, 0.0, 4.0]
    assert both[0][1] == [1.0, 1.0, 2.0, 1.0, 2.0, 2.0, 1.0, 2.0]


def test_an_empty_or_missing_geometry_has_no_polygons() -> None:
    found = polygons(np.array([None, shapely.box(0, 0, 1, 1), shapely.Polygon()]))
    assert found == [[], [[[1.0, 0.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0]]], []]


def test_coordinates_have_six_decimals() -> None:
    [[[ring]]] = polygons(np.array([shapely.box(0.123456789, 0.5, 0.2, 0.6)]))
    assert 0.123457 in ring
    assert 0.123456789 not in ring


def test_a_patch_keeps_every_vertex() -> None:
    turns = np.linspace(0, 2 * np.pi, 500, endpoint=False)
    patch = shapely.Polygon(np.column_stack([np.cos(turns), np.sin(turns)]) * 1e-3)
    [[[ring]]] = polygons(np.array([patch]))
    assert len(ring) == 2 * 500


def test_a_crescent_gets_a_point_inside_it() -> None:
    crescent = shapely.Point(0, 0).buffer(1000).difference(shapely.Point(400, 0).buffer(1000))
    frame = gpd.GeoSeries([crescent], crs="EPSG:32611")
    longitude_deg, latitude_deg = points(frame)
    assert crescent.contains(
        gpd.GeoSeries([shapely.Point(longitude_deg[0], latitude_deg[0])], crs=4326).to_crs(32611).iloc[0]
    )


def test_folium_gets_no_attribute() -> None:
    roads = gpd.GeoDataFrame(
        {"road_class": ["{{ 7*7 }}"]}, geometry=[shapely.LineString([(0, 0), (1, 1)])], crs=4326
    )
    collection = bare_collection(roads)
    assert collection is not None
    assert [feature["properties"] for feature in collection["features"]] == [{}]
    assert "7*7" not in str(collection)


def test_lines_move_less_than_the_tolerance() -> None:
    along = np.linspace(0, 0.2, 400)
    road = shapely.LineString(np.column_stack([along, 0.01 * np.sin(60 * along)]))
    collection = bare_collection(gpd.GeoDataFrame(geometry=[road], crs=4326))
    assert collection is not None
    drawn = shapely.geometry.shape(collection["features"][0]["geometry"])
    assert drawn.hausdorff_distance(road) < 5e-5
    assert shapely.get_num_coordinates(drawn) < 400


def test_a_layer_without_geometry_is_no_layer() -> None:
    assert bare_collection(gpd.GeoDataFrame(geometry=[None], crs=4326)) is None


def test_an_edge_two_districts_share_is_drawn_once() -> None:
    districts = gpd.GeoDataFrame(geometry=[shapely.box(0, 0, 10, 10), shapely.box(10, 0, 20, 10)], crs=32611)
    # outline of both together (20 + 10) x 2, and the shared edge of 10
    assert edges_once(districts).length.sum() == 70
