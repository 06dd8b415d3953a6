"""The shape of the ground on surfaces whose slope and aspect are known, on grids of every kind."""

import dataclasses

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from pyproj import CRS, Transformer

from geo_scout.formulas.terrain_ground import metres_per_degree
from geo_scout.formulas.terrain_heat_load import heat_load
from geo_scout.model.quantities import TERRAIN_QUANTITIES
from geo_scout.model.zones import TerrainAsked
from geo_scout.zones import halo_blocks as halo_module
from geo_scout.zones import terrain as terrain_module
from geo_scout.zones.read import read_zones

# True to scale and direction at 0, 0: what a person works out on paper holds here.
PLANE = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84")
SOUTH = CRS.from_proj4("+proj=laea +lat_0=-40 +lon_0=175 +datum=WGS84")
ALL = TerrainAsked(frozenset(TERRAIN_QUANTITIES))
SLOPE = TerrainAsked(frozenset({"slope_deg"}))


def on_plane(files, folder, elevation, crs=PLANE, **keys):
    """Write elevations (rows, columns) in cells of 10 m around 0, 0."""
    cells = np.asarray(elevation)
    return files.write_raster(
        folder, cells, west=-5.0 * cells.shape[1], north=5.0 * cells.shape[0], crs=crs, **keys
    )


def tilted(rise_east, rise_north, shape=(9, 11)):
    row, column = np.mgrid[: shape[0], : shape[1]]
    return 500.0 + rise_east * 10.0 * column - rise_north * 10.0 * row


def turned(a_deg, b_deg):
    """Return how far two directions are apart [deg]."""
    return abs((a_deg - b_deg + 180) % 360 - 180)


def shape_of(raster, *zones, asked=SLOPE, crs=None):
    table = read_zones(
        {"elevation": raster}, gpd.GeoDataFrame(geometry=list(zones), crs=crs or raster.crs), asked
    )
    return table.mean, table.valid_share


def test_a_tilted_plane(files, tmp_path):
    """It rises 1 in 10 to the east and 1 in 5 to the north, so it falls to the south-west by south."""
    mean, share = shape_of(on_plane(files, tmp_path, tilted(0.1, 0.2)), shapely.box(-23, -17, 12, 9))
    assert mean["slope_deg"][0] == pytest.approx(np.degrees(np.arctan(np.hypot(0.1, 0.2))), abs=1e-6)
    assert mean["aspect_deg"][0] == pytest.approx(180 + np.degrees(np.arctan(0.5)), abs=1e-3)
    assert mean["aspect_strength"][0] == pytest.approx(1.0)
    assert mean["aspect_share"][0] == pytest.approx(1.0)
    # By covered metres the cells' middles lie at (8 x -20 + 10 x -10 + 10 x 0 + 7 x 10) / 35 east and at
    # (2 x -20 + 10 x -10 + 10 x 0 + 4 x 10) / 26 north; it is 500 m at -50, 40.
    assert mean["elevation_m"][0] == pytest.approx(500 + 0.1 * (50 - 190 / 35) + 0.2 * (-100 / 26 - 40))
    assert share.loc[0].tolist() == [1.0, 1.0]


def test_the_mean_is_weighted_by_covered_area(files, tmp_path):
    """Columns 0 to 4 are flat; from there it rises 2 m a column: half of that in column 4, all of it from 5 on.

    The zone covers a quarter of column 3, all of 4 and half of 5.
    """
    elevation = np.tile(np.maximum(np.arange(11.0) - 4, 0) * 2.0, (9, 1))
    mean, _ = shape_of(on_plane(files, tmp_path, elevation), shapely.box(-17.5, -20, 0, 20))
    expected = (10 * np.degrees(np.arctan(0.1)) + 5 * np.degrees(np.arctan(0.2))) / 17.5
    assert mean["slope_deg"][0] == pytest.approx(expected, abs=1e-6)
    assert mean["aspect_share"][0] == pytest.approx(15 / 17.5)
    assert mean["aspect_deg"][0] == pytest.approx(270.0, abs=1e-3)
    assert mean["aspect_strength"][0] == pytest.approx(1.0)


def test_aspects_are_averaged_as_vectors_not_as_numbers(files, tmp_path):
    """A ridge whose sides fall to 350 and to 10 degrees lies to the north, not to the south."""
    east = np.abs(np.arange(-5.0, 6.0)) * -np.tan(np.radians(10.0))
    north = np.arange(9.0)[:, None]  # the northern row is the lowest
    mean, _ = shape_of(on_plane(files, tmp_path, (east + north) * 3.0), shapely.box(-45, -20, 45, 20))
    assert turned(mean["aspect_deg"][0], 0.0) < 1e-3
    # Eight of nine columns are 10 degrees off; on the ridge itself it falls due north.
    assert mean["aspect_strength"][0] == pytest.approx((8 * np.cos(np.radians(10)) + 1) / 9)


def test_a_hill_that_faces_all_ways_says_so(files, tmp_path):
    row, column = np.mgrid[-10:11, -10:11]
    hill = on_plane(files, tmp_path, -3.0 * np.hypot(row, column))
    mean, _ = shape_of(hill, shapely.box(-95, -95, 95, 95), shapely.box(-95, -5, -55, 5))
    # Not quite 0: over 190 m the meridians come together by 2e-5.
    assert mean["aspect_strength"][0] == pytest.approx(0.0, abs=1e-5)
    # The tip alone is flat: one of 361 cells.
    assert mean["aspect_share"][0] == pytest.approx(360 / 361)
    assert mean["aspect_deg"][1] == pytest.approx(270.0, abs=0.1)
    assert mean["aspect_strength"][1] > 0.99
    assert mean["slope_deg"][1] == pytest.approx(np.degrees(np.arctan(0.3)), abs=0.2)


def test_flat_ground_has_a_slope_and_a_heat_load_but_no_aspect(files, tmp_path):
    flat, asked = np.full((9, 9), 7.0), dataclasses.replace(ALL, surroundings_m=30.0)
    mean, share = shape_of(on_plane(files, tmp_path, flat), shapely.box(-9, -9, 9, 9), asked=asked)
    assert mean.loc[0, ["slope_deg", "aspect_share", "relative_position_m"]].tolist() == [0.0, 0.0, 0.0]
    assert mean.loc[0, ["aspect_deg", "aspect_strength"]].isna().all()
    assert mean["heat_load"][0] == pytest.approx(float(heat_load(0.0, 0.0, 47.0)), rel=1e-5)
    assert share.loc[0].tolist() == [1.0, 1.0, 1.0, 1.0]


def test_a_missing_cell_takes_the_slope_of_its_neighbours_and_the_share_says_so(files, tmp_path):
    elevation = tilted(0.1, 0.0)
    elevation[4, 5] = -1.0
    raster = on_plane(files, tmp_path, elevation, nodata=-1.0)
    zones = shapely.box(-35, -5, 15, 5), shapely.box(-15, -15, 15, 15), shapely.box(-35, -25, -15, 25)
    mean, share = shape_of(raster, *zones)
    # Five cells in the row of the missing one: it and the two beside it are blank; then its whole window; then none.
    assert share["slope"].tolist() == pytest.approx([2 / 5, 0.0, 1.0])
    assert share["elevation"].tolist() == pytest.approx([4 / 5, 8 / 9, 1.0])
    assert mean["slope_deg"].tolist() == pytest.approx(
        [np.degrees(np.arctan(0.1)), np.nan, np.degrees(np.arctan(0.1))], nan_ok=True, abs=1e-6
    )
    assert mean["aspect_deg"].isna().tolist() == [False, True, False]


def test_cells_at_the_edge_of_the_raster_have_no_slope(files, tmp_path):
    raster = on_plane(files, tmp_path, tilted(0.1, 0.0))
    mean, share = shape_of(raster, shapely.box(-55, -45, 55, 45), shapely.box(35, -5, 75, 5))
    assert share["slope"].tolist() == pytest.approx([7 * 9 / 99, 1 / 4])  # 35-45 has one; 45-55 is the edge
    assert share["elevation"].tolist() == pytest.approx([1.0, 1 / 2])
    assert mean["slope_deg"].tolist() == pytest.approx([np.degrees(np.arctan(0.1))] * 2, abs=1e-6)


def test_a_zone_off_the_raster_and_one_with_no_place_have_nothing(files, tmp_path):
    raster = on_plane(files, tmp_path, tilted(0.1, 0.0))
    mean, share = shape_of(raster, shapely.box(500, 500, 510, 510), shapely.Polygon(), asked=ALL)
    assert mean.isna().all().all()
    assert (share == 0).all().all()


def test_the_steep_share_counts_ground_above_the_limit(files, tmp_path):
    """Half the columns rise 1 in 10 (5.71 deg), the others 1 in 2 (26.57 deg); between them 3 in 10 (16.70 deg)."""
    column = np.arange(11.0)
    elevation = np.tile(np.where(column <= 5, column, 5 + 5 * (column - 5)), (9, 1))
    raster = on_plane(files, tmp_path, elevation)
    zone = shapely.box(-25, -5, 25, 5)  # two gentle columns, the one between, two steep ones
    for limit_deg, expected in ((5.0, 1.0), (6.0, 3 / 5), (16.69, 3 / 5), (16.71, 2 / 5), (27.0, 0.0)):
        mean, _ = shape_of(raster, zone, asked=TerrainAsked(frozenset({"steep_share"}), limit_deg))
        assert mean["steep_share"][0] == pytest.approx(expected)
    assert shape_of(raster, zone)[0]["steep_share"].isna().all()


def test_elevations_in_feet_are_metres_before_they_are_slopes(files, tmp_path):
    metres = on_plane(files, tmp_path, tilted(0.1, 0.2))
    mean, _ = shape_of(metres, shapely.box(-9, -9, 9, 9), asked=ALL)
    feet = on_plane(files, tmp_path, tilted(0.1, 0.2) / 0.3048, scale=0.3048)
    in_feet, _ = shape_of(feet, shapely.box(-9, -9, 9, 9), asked=ALL)
    pd.testing.assert_frame_equal(in_feet, mean)
    assert mean["slope_deg"][0] == pytest.approx(12.604, abs=1e-3)


GRIDS = [
    (4326, -110.0, 47.0, 0.0003),
    (4269, 25.0, -33.0, 0.0001),
    (3857, -110.0, 58.0, 30.0),  # stretched 1.9 times
    (32612, -108.0, 47.0, 30.0),
    (5070, -123.0, 46.0, 30.0),  # grid north is 16 degrees off
    (2225, -123.5, 40.5, 100.0),  # US survey feet
    (3031, 60.0, -75.0, 50.0),  # around the pole: north is anywhere
    (2193, 168.0, -45.5, 15.0),
]


@pytest.mark.parametrize(("code", "longitude", "latitude", "cell"), GRIDS)
@pytest.mark.parametrize(("rise_east", "rise_north"), [(0.0, 0.25), (0.0, -0.1), (0.3, 0.0), (-0.2, 0.15)])
def test_slope_and_aspect_are_those_of_the_ground_on_any_grid(
    files, tmp_path, code, longitude, latitude, cell, rise_east, rise_north
):
    """The elevation of each cell follows from how far it lies east and north of the middle, on the ellipsoid."""
    crs = CRS.from_epsg(code)
    to_map = Transformer.from_crs(crs.geodetic_crs, crs, always_xy=True)
    middle = to_map.transform(longitude, latitude)
    side = 7
    west, north = middle[0] - side / 2 * cell, middle[1] + side / 2 * cell
    at = (np.arange(side) + 0.5) * cell
    easting, northing = np.meshgrid(west + at, north - at)
    cell_longitude, cell_latitude = to_map.transform(easting, northing, direction="INVERSE")
    geod = crs.get_geod()
    east_m, _ = metres_per_degree(latitude, geod.a, geod.es)
    _, north_m = metres_per_degree((latitude + cell_latitude) / 2, geod.a, geod.es)
    elevation = (
        800
        + rise_east * (cell_longitude - longitude) * east_m
        + rise_north * (cell_latitude - latitude) * north_m
    )
    raster = files.write_raster(tmp_path, elevation, west=west, north=north, cell=cell, crs=crs)
    mean, _ = shape_of(raster, shapely.Point(middle))
    # Curved within 150 m around by 1e-5.
    expected = np.degrees(np.arctan(np.hypot(rise_east, rise_north)))
    assert mean["slope_deg"][0] == pytest.approx(expected, abs=1e-3)
    assert turned(mean["aspect_deg"][0], np.degrees(np.arctan2(-rise_east, -rise_north))) < 0.01


@pytest.mark.parametrize(("crs", "side"), [(PLANE, 225.0), (SOUTH, 315.0)])
def test_the_afternoon_side_is_the_warm_one_in_both_hemispheres(files, tmp_path, crs, side):
    row, column = np.mgrid[-20:21, -20:21]
    hill = on_plane(files, tmp_path, -4.0 * np.hypot(row, column), crs=crs)
    bearings = np.arange(0.0, 360.0, 45.0)
    points = [shapely.Point(120 * np.sin(np.radians(b)), 120 * np.cos(np.radians(b))) for b in bearings]
    mean, _ = shape_of(hill, *points, asked=TerrainAsked(frozenset({"heat_load"})))
    assert bearings[mean["heat_load"].argmax()] == side
    assert bearings[mean["heat_load"].argmin()] == (side + 180) % 360
    latitude = 47.0 if side == 225.0 else -40.0
    expected = heat_load(mean["slope_deg"], mean["aspect_deg"], latitude)
    np.testing.assert_allclose(mean["heat_load"], expected, rtol=1e-3)


def test_heat_load_is_missing_where_its_equation_does_not_hold(files, tmp_path):
    row, column = np.mgrid[:9, :9]
    for name, north, known in (("a", 61.0, 0.0), ("b", 45.0, 1.0), ("c", 20.0, 0.0)):
        folder = tmp_path / name
        folder.mkdir()
        raster = files.write_raster(
            folder, 3.0 * row + column, west=10.0, north=north, cell=0.001, crs=files.DEGREES
        )
        zone = shapely.box(10.002, north - 0.007, 10.007, north - 0.002)
        mean, share = shape_of(raster, zone, asked=ALL)
        assert share["heat_load"][0] == known
        assert np.isnan(mean["heat_load"][0]) == (known == 0.0)
        assert share["slope"][0] == 1.0
        if name == "c":
            wider = dataclasses.replace(ALL, heat_load_equation=1)
            assert shape_of(raster, zone, asked=wider)[1]["heat_load"][0] == 1.0


def test_relative_position_against_plain_means_of_the_square_around(files, tmp_path):
    """Cells of 10 m, surroundings of 40 m: the mean of 9 x 9 cells without the middle one, worked out one by one."""
    elevation = np.random.default_rng(4).normal(900, 30, (40, 50))
    raster = on_plane(files, tmp_path, elevation)
    asked = TerrainAsked(frozenset({"relative_position_m"}), surroundings_m=40.0)
    cells = [(4, 4), (20, 25), (35, 45), (4, 30)]
    middles = [shapely.Point(-250 + 10 * column + 5, 200 - 10 * row - 5) for row, column in cells]
    expected = []
    for row, column in cells:
        around = elevation[row - 4 : row + 5, column - 4 : column + 5]
        expected.append(elevation[row, column] - (around.sum() - elevation[row, column]) / 80)
    mean, share = shape_of(raster, *middles, shapely.box(-250, 190, -240, 200), asked=asked)
    np.testing.assert_allclose(mean["relative_position_m"][:4], expected, atol=1e-9)
    # In the corner three quarters of the surroundings are missing.
    assert np.isnan(mean["relative_position_m"][4])
    assert share["relative_position"].tolist() == [1.0, 1.0, 1.0, 1.0, 0.0]


def test_surroundings_are_metres_of_the_ground_in_degrees_too(files, tmp_path):
    """At 60 N a degree of longitude is half as long: 12 columns reach as far as 6 rows."""
    elevation = np.zeros((31, 41))
    raster = files.write_raster(
        tmp_path, elevation, west=10.0, north=59.9 + 0.0155, cell=0.001, crs=files.DEGREES
    )
    point = shapely.Point(10.0205, 59.9)
    asked = TerrainAsked(frozenset({"relative_position_m"}), surroundings_m=668.4)
    for row, column, is_in in ((9, 20, True), (8, 20, False), (15, 8, True), (15, 7, False)):
        moved = elevation.copy()
        moved[row, column] = 13 * 25 - 1
        raster = files.write_raster(
            tmp_path, moved, west=10.0, north=59.9 + 0.0155, cell=0.001, crs=files.DEGREES
        )
        assert shape_of(raster, point, asked=asked)[0]["relative_position_m"][0] == pytest.approx(
            -1.0 if is_in else 0.0
        )


def test_surroundings_of_too_many_cells_are_none(files, tmp_path, monkeypatch):
    monkeypatch.setattr(terrain_module, "MOST_REACH", 5)
    raster = on_plane(files, tmp_path, np.random.default_rng(2).normal(size=(20, 20)))
    for surroundings_m, share in ((40.0, 1.0), (60.0, 0.0)):
        asked = TerrainAsked(frozenset({"relative_position_m"}), surroundings_m=surroundings_m)
        mean, shares = shape_of(raster, shapely.Point(0, 0), asked=asked)
        assert shares.loc[0, ["slope", "relative_position"]].tolist() == [1.0, share]
        assert np.isfinite(mean["relative_position_m"][0]) == (share == 1.0)


@pytest.mark.parametrize(
    "profile", [{}, {"tiled": True, "blockxsize": 16, "blockysize": 16}, {"blockysize": 3}]
)
@pytest.mark.parametrize("square", [7, 16, 512])
def test_neither_tiles_nor_squares_change_the_answer(files, tmp_path, monkeypatch, profile, square):
    elevation = np.random.default_rng(6).normal(900, 30, (45, 52))
    zones = [shapely.box(-240, -200, 100, 150), shapely.Point(3, 4).buffer(77), shapely.Point(-30, 50)]
    asked = dataclasses.replace(ALL, steep_deg=60.0, surroundings_m=40.0)
    expected, expected_share = shape_of(on_plane(files, tmp_path, elevation), *zones, asked=asked)
    assert expected.notna().all().all()
    monkeypatch.setattr(halo_module, "SIDE", square)
    mean, share = shape_of(on_plane(files, tmp_path, elevation, **profile), *zones, asked=asked)
    pd.testing.assert_frame_equal(mean, expected, rtol=1e-9)
    pd.testing.assert_frame_equal(share, expected_share, rtol=1e-9)


def test_across_the_seam_of_a_raster_round_the_earth(files, tmp_path):
    elevation = np.random.default_rng(8).normal(0, 3000, (18, 36))
    keys = {"north": 90.0, "cell": 10.0, "crs": files.DEGREES}
    raster = files.write_raster(tmp_path, elevation, west=-180.0, **keys)
    turned = files.write_raster(tmp_path, np.roll(elevation, 18, axis=1), "turned", west=0.0,
                                bands=("elevation_m",), **keys)  # fmt: skip
    zones = [shapely.Point(-175, 45), shapely.Point(175, -15), shapely.box(-178, 10, -140, 30)]
    seam, share = shape_of(raster, *zones)
    inside, _ = shape_of(dataclasses.replace(turned, name="elevation"), *zones)
    assert share["slope"].tolist() == [1.0, 1.0, 1.0]
    pd.testing.assert_frame_equal(seam, inside, rtol=1e-9)


def test_only_what_is_asked_for_is_worked_out_and_elevations_stay_what_they_were(files, tmp_path):
    elevation = np.random.default_rng(1).normal(900, 30, (30, 40))
    elevation[7, 9] = -1.0
    raster = on_plane(files, tmp_path, elevation, nodata=-1.0)
    zones = gpd.GeoDataFrame(geometry=[shapely.box(-180, -100, 100, 90), shapely.Point(3, 3)], crs=PLANE)
    without = read_zones({"elevation": raster}, zones)
    assert list(without.mean) == ["elevation_m"]
    assert list(without.valid_share) == ["elevation"]
    table = read_zones({"elevation": raster}, zones, SLOPE)
    assert {"heat_load", "relative_position_m"}.isdisjoint(table.mean)
    assert list(table.valid_share) == ["elevation", "slope"]
    np.testing.assert_allclose(table.mean["elevation_m"], without.mean["elevation_m"], rtol=1e-12)
    np.testing.assert_allclose(table.valid_share["elevation"], without.valid_share["elevation"], rtol=1e-12)


def test_terrain_of_a_season_without_elevation_is_none(files, tmp_path):
    climate = files.write_raster(tmp_path, np.zeros((1, 3, 3)), "bioclim", bands=("bio05",))
    zones = gpd.GeoDataFrame(geometry=[shapely.box(0, -30, 30, 0)], crs=files.UTM)
    assert list(read_zones({"bioclim": climate}, zones, ALL).mean) == ["bio05"]
