"""Terrain of zones: what must hold for any ground and any zone."""

import importlib.util
import tempfile
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import CRS

from geo_scout.model.quantities import TERRAIN_QUANTITIES
from geo_scout.model.zones import TerrainAsked
from geo_scout.zones.read import read_zones

UNTIMED = settings(deadline=None, max_examples=10)  # each example writes a raster
HEIGHT, WIDTH, CELL_M, NODATA = 12, 15, 10.0, -9999.0
PLANE = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84")
grounds = st.builds(
    lambda seed, rough_m: np.random.default_rng(seed).uniform(0, rough_m, (HEIGHT, WIDTH)).round(1),
    st.integers(0, 10_000),
    st.sampled_from([0.3, 8.0, 60.0]),
)
zones = st.tuples(st.floats(-80, 60), st.floats(-65, 45), st.floats(1, 90), st.floats(1, 90)).map(
    lambda one: shapely.box(one[0], one[1], one[0] + one[2], one[1] + one[3])
)
limits = st.floats(1, 89)


def load_files():
    path = Path(__file__).parents[1] / "raster_files.py"
    spec = importlib.util.spec_from_file_location("raster_files", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FILES = load_files()


def terrain(ground_m, *shapes, steep_deg=20.0):
    asked = TerrainAsked(frozenset(TERRAIN_QUANTITIES), steep_deg, surroundings_m=30.0)
    with tempfile.TemporaryDirectory() as folder:
        raster = FILES.write_raster(Path(folder), ground_m, west=-75.0, north=60.0, crs=PLANE, nodata=NODATA)
        table = read_zones({"elevation": raster}, gpd.GeoDataFrame(geometry=list(shapes), crs=PLANE), asked)
    return table.mean.join(table.valid_share.add_suffix(" share"))


def same(left, right, **tolerance):
    pd.testing.assert_frame_equal(
        left.reset_index(drop=True), right.reset_index(drop=True), **{"rtol": 1e-6, "atol": 1e-6, **tolerance}
    )


@UNTIMED
@given(grounds, st.lists(zones, min_size=2, max_size=4))
def test_the_order_of_zones_and_their_company_are_irrelevant(ground, shapes):
    together = terrain(ground, *shapes)
    same(terrain(ground, *reversed(shapes)), together[::-1])
    same(terrain(ground, shapes[0]), together[:1])


@UNTIMED
@given(grounds, zones, st.integers(-400, 4000))
def test_only_elevation_knows_how_high_the_ground_is(ground, shape, metres):
    low, high = terrain(ground, shape), terrain(ground + metres, shape)
    assert np.allclose(high["elevation_m"], low["elevation_m"] + metres, equal_nan=True)
    # Rounding in the last digits decides whether a cell is flat, which has no aspect.
    aspects = ["aspect_deg", "aspect_strength", "aspect_share", "elevation_m"]
    same(high.drop(columns=aspects), low.drop(columns=aspects), atol=1e-4)


@UNTIMED
@given(grounds, zones)
def test_ground_turned_upside_down_falls_the_other_way(ground, shape):
    up, down = terrain(ground, shape), terrain(-ground, shape)
    same(down[["slope_deg", "steep_share", "aspect_share", "aspect_strength"]],
         up[["slope_deg", "steep_share", "aspect_share", "aspect_strength"]])  # fmt: skip
    assert np.allclose(down["relative_position_m"], -up["relative_position_m"], equal_nan=True, atol=1e-9)
    if up["aspect_strength"][0] > 1e-6:
        assert abs((down["aspect_deg"][0] - up["aspect_deg"][0]) % 360 - 180) < 1e-4


@UNTIMED
@given(grounds, st.floats(-60, -1), st.floats(1, 60), st.floats(-0.9, 0.9))
def test_two_halves_make_the_whole(ground, west, east, cut):
    middle = west + (cut + 1) / 2 * (east - west)
    left, right = shapely.box(west, -30, middle, 30), shapely.box(middle, -30, east, 30)
    table = terrain(ground, left, right, shapely.box(west, -30, east, 30))
    for name, layer in (
        ("elevation_m", "elevation"), ("slope_deg", "slope"), ("steep_share", "slope"), ("aspect_share", "slope"),
        ("heat_load", "heat_load"), ("relative_position_m", "relative_position"),
    ):  # fmt: skip
        known_m2 = np.array([left.area, right.area]) * table[f"{layer} share"][:2]
        if known_m2.sum() == 0:  # all of it too steep for a heat load
            assert np.isnan(table[name][2])
            continue
        together = (table[name][:2].fillna(0.0) * known_m2).sum() / known_m2.sum()
        # What a cell has inside comes in single precision, and a place above its surroundings is a difference of heights.
        assert np.isclose(together, table[name][2], rtol=1e-6, atol=1e-6, equal_nan=True), name


@UNTIMED
@given(grounds, zones, limits, limits)
def test_a_higher_limit_never_finds_more_steep_ground(ground, shape, one, other):
    low, high = sorted((one, other))
    shares = [terrain(ground, shape, steep_deg=limit)["steep_share"][0] for limit in (low, high)]
    assert np.isnan(shares).all() or shares[1] <= shares[0]


@UNTIMED
@given(grounds, zones, st.integers(0, HEIGHT - 1), st.integers(0, WIDTH - 1))
def test_a_gap_never_adds_known_ground(ground, shape, row, column):
    gap = ground.copy()
    gap[row, column] = NODATA
    whole, broken = terrain(ground, shape), terrain(gap, shape)
    for name in ("elevation share", "slope share", "heat_load share", "relative_position share"):
        assert broken[name][0] <= whole[name][0] + 1e-12
    assert broken["slope share"][0] <= broken["elevation share"][0] + 1e-12


@UNTIMED
@given(grounds, zones)
def test_every_quantity_stays_in_its_range(ground, shape):
    table = terrain(ground, shape)
    for name, low, high in (
        ("slope_deg", 0, 90), ("steep_share", 0, 1), ("aspect_share", 0, 1), ("aspect_strength", 0, 1),
        ("aspect_deg", 0, 360), ("heat_load", -0.5, 1.6), ("relative_position_m", -60, 60),
    ):  # fmt: skip
        value = table[name][0]
        assert np.isnan(value) or low <= value <= high, name
