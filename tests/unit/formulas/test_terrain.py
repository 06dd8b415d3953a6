"""Terrain on planes and small hills, with unequal cells so that no swapped axis can hide."""

import numpy as np
import pytest

from geo_scout.formulas.terrain import aspect_deg, hillshade, horn_gradient, horn_rises, slope_deg


def plane(rise_east, rise_north, shape=(6, 5), width_m=20.0, height_m=30.0):
    rows, columns = np.indices(shape)
    return rise_east * columns * width_m - rise_north * rows * height_m


def test_a_plane_has_its_own_gradient_inside_and_half_of_it_across_the_edge():
    dz_dx, dz_dy = horn_gradient(plane(0.3, -0.1), 20.0, 30.0)
    assert dz_dx[:, 1:-1] == pytest.approx(np.full((6, 3), 0.3))
    assert dz_dx[:, [0, -1]] == pytest.approx(np.full((6, 2), 0.15))
    assert dz_dy[1:-1] == pytest.approx(np.full((4, 5), -0.1))
    assert dz_dy[[0, -1]] == pytest.approx(np.full((2, 5), -0.05))


def test_cell_sizes_may_differ_from_row_to_row():
    elevation = np.tile(np.arange(5.0), (4, 1))
    widths_m = np.array([1.0, 2.0, 4.0, 8.0])
    dz_dx, dz_dy = horn_gradient(elevation, widths_m, 3.0)
    assert dz_dx[:, 2] == pytest.approx(1 / widths_m)
    assert dz_dy == pytest.approx(np.zeros((4, 5)))
    _, dz_dy = horn_gradient(elevation.T.copy(), 1.0, np.array([1.0, 2.0, 4.0, 8.0, 16.0]))
    assert dz_dy[1:-1, 0] == pytest.approx([-1 / 2, -1 / 4, -1 / 8])


def test_a_missing_cell_blanks_its_nine_neighbours_and_no_more():
    elevation = plane(0.3, -0.1)
    elevation[2, 2] = np.nan
    expected = np.zeros((6, 5), dtype=bool)
    expected[1:4, 1:4] = True
    for gradient in horn_gradient(elevation, 20.0, 30.0):
        np.testing.assert_array_equal(np.isnan(gradient), expected)


def test_rises_around_single_cells_are_those_of_the_whole_raster():
    elevation = np.random.default_rng(9).uniform(0, 100, (6, 5))
    windows = np.lib.stride_tricks.sliding_window_view(elevation, (3, 3)).reshape(-1, 9).T
    per_column, per_row = horn_rises(windows)
    dz_dx, dz_dy = horn_gradient(elevation, 20.0, 30.0)
    np.testing.assert_allclose(per_column / 20.0, dz_dx[1:-1, 1:-1].ravel())
    np.testing.assert_allclose(-per_row / 30.0, dz_dy[1:-1, 1:-1].ravel())


@pytest.mark.parametrize("missing", range(9))
def test_rises_need_all_nine_cells(missing):
    window = np.arange(9.0)[:, None]
    window[missing] = np.nan
    assert np.isnan(horn_rises(window)).all()


def test_whole_numbers_do_not_overflow():
    elevation = np.array([[120, 120, 120], [0, 0, 0], [-120, -120, -120]], dtype=np.int8)
    _, dz_dy = horn_gradient(elevation, 10.0, 10.0)
    assert dz_dy[1, 1] == pytest.approx(12.0)


@pytest.mark.parametrize("shape", [(0, 0), (0, 3), (3, 0)])
def test_no_cells(shape):
    dz_dx, dz_dy = horn_gradient(np.zeros(shape), 1.0, 1.0)
    assert dz_dx.shape == dz_dy.shape == shape
    for result in (slope_deg(dz_dx, dz_dy), aspect_deg(dz_dx, dz_dy), hillshade(dz_dx, dz_dy)):
        assert result.shape == shape


def test_one_cell_is_flat():
    dz_dx, dz_dy = horn_gradient([[7.0]], 1.0, 1.0)
    assert aspect_deg(dz_dx, dz_dy).tolist() == [[-1.0]]


@pytest.mark.parametrize(
    ("elevation", "width_m", "message"),
    [
        ([1.0, 2.0], 1.0, "rows and columns"),
        (np.zeros((2, 3)), 0.0, "positive"),
        (np.zeros((2, 3)), -1.0, "positive"),
        (np.zeros((2, 3)), np.ones(3), "each of 2 rows"),
        (np.zeros((2, 3)), np.nan, "positive"),
    ],
)
def test_what_is_no_raster_is_refused(elevation, width_m, message):
    with pytest.raises(ValueError, match=message):
        horn_gradient(elevation, width_m, 1.0)


@pytest.mark.parametrize(
    ("rise_east", "rise_north", "aspect"),
    [
        (0, -1, 0.0),
        (-1, -1, 45.0),
        (-1, 0, 90.0),
        (-1, 1, 135.0),
        (0, 1, 180.0),
        (1, 1, 225.0),
        (1, 0, 270.0),
        (1, -1, 315.0),
        (0, 0, -1.0),
        (-0.0, 0.0, -1.0),
    ],
)
def test_aspect_is_the_compass_direction_downhill(rise_east, rise_north, aspect):
    assert float(aspect_deg(rise_east, rise_north)) == pytest.approx(aspect)


def test_aspect_stays_below_360():
    assert float(aspect_deg(1e-20, -1.0)) == 0.0
    assert np.isnan(aspect_deg(np.nan, 1.0))
    assert np.isnan(slope_deg(1.0, np.nan))


def test_light_from_the_north_west():
    root = np.sqrt(0.5)
    flat, facing, away = hillshade([0.0, root, -root], [0.0, -root, root])
    assert flat == pytest.approx(root)
    assert facing == pytest.approx(1.0)  # 45 deg steep towards a light 45 deg high
    assert away == pytest.approx(0.0, abs=1e-15)
    assert hillshade(-3.0, 3.0) == 0.0
    assert hillshade(0.3, -2.0, altitude_deg=90.0) == pytest.approx(1 / np.sqrt(1 + 0.09 + 4.0))
    assert np.isnan(hillshade(np.nan, 0.0))
