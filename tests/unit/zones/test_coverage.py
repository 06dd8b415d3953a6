import geopandas as gpd
import numpy as np
import pytest
import shapely
from affine import Affine
from pyproj import CRS

from geo_scout.zones.coverage import measure_coverage

UTM, DEGREES = CRS.from_epsg(32612), CRS.from_epsg(4326)
GRID = Affine(10.0, 0.0, 0.0, 0.0, -10.0, 30.0)  # three rows down from northing 30, cells of 10 m


def weights(shape, crs=UTM, grid=GRID, shape_of_grid=(3, 3), zone_crs=None):
    """Return {(row, column): weight} of one zone."""
    zones = gpd.GeoSeries([shape], crs=zone_crs or crs)
    coverage = measure_coverage(zones, crs, grid, shape_of_grid)
    matrix = coverage.weights.toarray()[0]
    return {
        (int(row), int(column)): float(weight)
        for row, column, weight in zip(coverage.rows, coverage.columns, matrix, strict=True)
        if weight
    }


def test_a_rectangle_by_hand():
    """Half a cell to the left, half below: each corner a quarter, each side a half."""
    assert weights(shapely.box(5, 5, 15, 25)) == {
        (0, 0): 0.25, (0, 1): 0.25, (1, 0): 0.5, (1, 1): 0.5, (2, 0): 0.25, (2, 1): 0.25,
    }  # fmt: skip


def test_a_triangle_by_hand():
    """Everything below the diagonal from the north-west to the south-east corner."""
    assert weights(shapely.Polygon([(0, 0), (30, 0), (0, 30)])) == pytest.approx(
        {(0, 0): 0.5, (1, 0): 1.0, (1, 1): 0.5, (2, 0): 1.0, (2, 1): 1.0, (2, 2): 0.5}
    )


def test_a_hole_and_two_parts_by_hand():
    ring = shapely.box(0, 0, 10, 10).difference(shapely.box(2, 2, 7, 7))  # 100 - 25 of 100 m2
    assert weights(ring.union(shapely.box(20, 20, 25, 30))) == pytest.approx({(2, 0): 0.75, (0, 2): 0.5})


def test_a_zone_smaller_than_a_cell_keeps_its_cell():
    assert weights(shapely.box(12, 12, 13, 14)) == pytest.approx({(1, 1): 0.02})


def test_a_zone_over_the_edge_keeps_its_whole_area():
    """The grid goes on: column -1 and row 3 lie beyond the raster."""
    assert weights(shapely.box(-5, -5, 5, 5)) == pytest.approx(
        {(2, -1): 0.25, (2, 0): 0.25, (3, -1): 0.25, (3, 0): 0.25}
    )


def test_a_zone_wholly_beyond_the_raster_is_one_cell_out_there():
    assert weights(shapely.box(1000, 1000, 5000, 5000)) == {(-297, 300): 1.0}  # its middle, (3000, 3000)


def test_a_zone_of_another_continent_costs_no_memory():
    """30 m cells from here to there would be 10 to the 11."""
    fine = Affine(30.0, 0.0, 500_000.0, 0.0, -30.0, 5_000_000.0)
    there = weights(shapely.box(50, 0, 61, 10), grid=fine, zone_crs=DEGREES)
    assert len(there) == 1


@pytest.mark.parametrize(("point", "cell"), [((15, 15), (1, 1)), ((0, 30), (0, 0)), ((10, 20), (1, 1))])
def test_a_point_covers_the_cell_it_lies_in_and_lines_belong_to_the_cell_south_east_of_them(point, cell):
    assert weights(shapely.Point(point)) == {cell: 1.0}


def test_several_points_of_one_find_take_the_cell_of_one():
    assert weights(shapely.MultiPoint([(5, 5), (6, 6)])) == {(2, 0): 1.0}


def test_a_zone_without_area_takes_the_cell_of_a_point_inside_it():
    assert weights(shapely.Polygon([(12, 12), (14, 14), (12, 12)])) == {(1, 1): 1.0}


@pytest.mark.parametrize("shape", [None, shapely.Polygon(), shapely.Point(float("inf"), 0)])
def test_no_place_no_cell(shape):
    assert weights(shape) == {}


def test_no_zones_at_all():
    coverage = measure_coverage(gpd.GeoSeries([], crs=UTM), UTM, GRID, (3, 3))
    assert coverage.weights.shape == (0, 0)


def test_cells_in_degrees_are_weighted_by_their_area_on_the_sphere():
    """Two cells of one degree, at the equator and at 60 N: their areas go as the differences of sines."""
    grid = Affine(1.0, 0.0, 0.0, 0.0, -1.0, 61.0)
    both = shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(0, 60, 1, 61)])
    found = weights(both, DEGREES, grid, (61, 1))
    # exactextract keeps the weights in single precision.
    sines = np.sin(np.radians([0.0, 1.0, 60.0, 61.0]))
    assert set(found) == {(60, 0), (0, 0)}
    assert found[60, 0] / found[0, 0] == pytest.approx(
        (sines[1] - sines[0]) / (sines[3] - sines[2]), rel=1e-6
    )


def test_zones_come_in_any_reference_system():
    grid = Affine(1000.0, 0.0, 400_000.0, 0.0, -1000.0, 5_000_000.0)
    cell = shapely.box(403_000, 4_995_000, 404_000, 4_996_000)
    in_degrees = gpd.GeoSeries([cell], crs=UTM).to_crs(DEGREES).iloc[0]
    found = weights(in_degrees, UTM, grid, (10, 10), zone_crs=DEGREES)
    # Straight sides in degrees bend by centimetres on the grid, so neighbours get slivers.
    assert found[4, 3] == pytest.approx(1.0, abs=1e-3)
    assert sum(found.values()) == pytest.approx(1.0, abs=1e-3)


def test_cells_are_numbered_rightly_on_a_grid_of_ten_thousand_million():
    fine = Affine(30.0, 0.0, 0.0, 0.0, -30.0, 0.0)
    corners = [shapely.box(0, -30, 30, 0), shapely.box(2_999_970, -3_000_000, 3_000_000, -2_999_970)]
    coverage = measure_coverage(gpd.GeoSeries(corners, crs=UTM), UTM, fine, (100_000, 100_000))
    assert coverage.rows.tolist() == [0, 99_999]
    assert coverage.columns.tolist() == [0, 99_999]
    np.testing.assert_allclose(coverage.weights.toarray(), np.eye(2))
