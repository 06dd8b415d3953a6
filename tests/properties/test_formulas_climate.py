"""Climate and terrain: units, the start of the year and the points of the compass are irrelevant."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from geo_scout.formulas.bioclim import bioclim
from geo_scout.formulas.log_precipitation import with_log_precipitation
from geo_scout.formulas.terrain import aspect_deg, hillshade, horn_gradient, slope_deg
from geo_scout.model.bioclim_convention import BioclimConvention

UNTIMED = settings(deadline=None)  # the machine may be busy

# whole tenths: no two quarters are nearly but not quite equal
temperatures = hnp.arrays(np.int64, (12, 4), elements=st.integers(-400, 300)).map(lambda tenths: tenths / 10)
ranges = hnp.arrays(np.int64, (12, 4), elements=st.integers(0, 250)).map(lambda tenths: tenths / 10)
rains = hnp.arrays(np.int64, (12, 4), elements=st.integers(0, 5_000)).map(lambda tenths: tenths / 10)
NEEDS_THE_TIE_RULE = {"bio08", "bio09", "bio18", "bio19"}


@UNTIMED
@given(temperatures, ranges, rains, st.integers(1, 11))
def test_where_the_year_starts_is_irrelevant(tmin, day_range, rain, shift):
    values = bioclim(tmin, tmin + day_range, rain)
    turned = bioclim(*(np.roll(monthly, shift, axis=0) for monthly in (tmin, tmin + day_range, rain)))
    for name in set(values) - NEEDS_THE_TIE_RULE:  # these four ask which of several equal quarters is meant
        assert turned[name] == pytest.approx(values[name], rel=1e-9, abs=1e-9, nan_ok=True), name


@UNTIMED
@given(temperatures, ranges, rains, st.integers(-200, 200))
def test_warming_every_month_shifts_temperatures_and_nothing_else(tmin, day_range, rain, tenths):
    values = bioclim(tmin, tmin + day_range, rain)
    warmer = bioclim(tmin + tenths / 10, tmin + day_range + tenths / 10, rain)
    shifted = {"bio01", "bio05", "bio06", "bio08", "bio09", "bio10", "bio11"}
    for name, value in values.items():
        expected = value + (tenths / 10 if name in shifted else 0.0)
        assert warmer[name] == pytest.approx(expected, rel=1e-9, abs=1e-6, nan_ok=True), name


@UNTIMED
@given(temperatures, ranges, rains, st.sampled_from(["wrapped", "within_year", "calendar"]))
def test_variables_keep_their_order(tmin, day_range, rain, quarters):
    values = bioclim(tmin, tmin + day_range, rain, convention=BioclimConvention(quarters=quarters))
    for low, high in [
        ("bio06", "bio05"),
        ("bio11", "bio10"),
        ("bio14", "bio13"),
        ("bio17", "bio16"),
        ("bio13", "bio12"),
    ]:
        assert (values[low] <= values[high] + 1e-9).all()
    for name in ("bio08", "bio09"):
        assert (values[name] >= values["bio11"] - 1e-6).all()
        assert (values[name] <= values["bio10"] + 1e-6).all()
    for name in ("bio18", "bio19"):
        assert (values[name] >= values["bio17"] - 1e-6).all()
        assert (values[name] <= values["bio16"] + 1e-6).all()


@UNTIMED
@given(hnp.arrays(np.float64, (3, 2), elements=st.floats(0, 1e4)))
def test_log_precipitation_keeps_the_order_and_can_be_undone(values):
    logged = with_log_precipitation(values, [True, False])
    assert np.expm1(logged[:, 0]) == pytest.approx(values[:, 0], rel=1e-9, abs=1e-12)
    np.testing.assert_array_equal(logged[:, 1], values[:, 1])


relief = hnp.arrays(
    np.int64, st.tuples(st.integers(1, 7), st.integers(1, 7)), elements=st.integers(-400, 4_000)
)


@UNTIMED
@given(relief, st.floats(0.5, 1_000), st.floats(0.5, 1_000))
def test_turning_the_map_turns_the_aspect_and_leaves_the_slope(elevation, width_m, height_m):
    dz_dx, dz_dy = horn_gradient(elevation, width_m, height_m)
    # a quarter turn anticlockwise: what looked east now looks north
    turned_dx, turned_dy = horn_gradient(np.rot90(elevation), height_m, width_m)
    assert turned_dx == pytest.approx(-np.rot90(dz_dy))
    assert turned_dy == pytest.approx(np.rot90(dz_dx))
    assert slope_deg(turned_dx, turned_dy) == pytest.approx(np.rot90(slope_deg(dz_dx, dz_dy)))
    before, after = np.rot90(aspect_deg(dz_dx, dz_dy)), aspect_deg(turned_dx, turned_dy)
    np.testing.assert_array_equal(before == -1, after == -1)
    assert np.cos(np.radians(before - after - 90))[before != -1] == pytest.approx(1.0)


@UNTIMED
@given(relief, st.floats(0.5, 1_000), st.integers(-1_000, 1_000))
def test_the_sea_level_and_the_unit_of_length_are_irrelevant_to_slope(elevation, cell_m, rise):
    dz_dx, dz_dy = horn_gradient(elevation, cell_m, cell_m)
    np.testing.assert_array_equal(horn_gradient(elevation + rise, cell_m, cell_m), (dz_dx, dz_dy))
    feet = horn_gradient(elevation / 0.3048, cell_m / 0.3048, cell_m / 0.3048)
    assert np.array(feet) == pytest.approx(np.array([dz_dx, dz_dy]))
    slope = slope_deg(dz_dx, dz_dy)
    assert ((slope >= 0) & (slope < 90)).all()


@UNTIMED
@given(relief, st.floats(0.5, 1_000), st.floats(0, 360), st.floats(0, 90))
def test_brightness_is_a_share_and_follows_slope_and_aspect(elevation, cell_m, azimuth_deg, altitude_deg):
    dz_dx, dz_dy = horn_gradient(elevation, cell_m, cell_m)
    brightness = hillshade(dz_dx, dz_dy, azimuth_deg, altitude_deg)
    assert ((brightness >= 0) & (brightness <= 1)).all()
    slope, aspect, height = (
        np.radians(angle) for angle in (slope_deg(dz_dx, dz_dy), aspect_deg(dz_dx, dz_dy), altitude_deg)
    )
    by_angles = np.sin(height) * np.cos(slope) + np.cos(height) * np.sin(slope) * np.cos(
        np.radians(azimuth_deg) - aspect
    )
    assert brightness == pytest.approx(np.clip(by_angles, 0, 1), abs=1e-9)
