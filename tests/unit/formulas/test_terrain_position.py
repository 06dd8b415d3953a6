import numpy as np
import pytest

from geo_scout.formulas.terrain_position import relative_position_m

MIDDLE = np.array([2])


def test_a_hill_a_hollow_and_a_plane():
    flat = np.zeros((5, 5))
    hill, hollow = flat.copy(), flat.copy()
    hill[2, 2], hollow[2, 2] = 10.0, -4.0
    rows, columns = np.mgrid[:5, :5].astype(float)
    for elevation, expected in ((hill, 10.0), (hollow, -4.0), (3 * rows - 7 * columns + 800, 0.0)):
        assert relative_position_m(elevation, MIDDLE, MIDDLE, (2, 2))[0] == pytest.approx(expected)


def test_rows_and_columns_reach_as_far_as_they_are_told():
    elevation = np.zeros((5, 5))
    elevation[0, 2], elevation[2, 0] = 12.0, 28.0
    # 3 x 5 cells less the middle one hold the 28; 5 x 3 cells hold the 12.
    assert relative_position_m(elevation, MIDDLE, MIDDLE, (1, 2))[0] == pytest.approx(-28 / 14)
    assert relative_position_m(elevation, MIDDLE, MIDDLE, (2, 1))[0] == pytest.approx(-12 / 14)


def test_missing_neighbours_are_left_out_down_to_nine_in_ten():
    # 24 cells around: 22 are 0.917 of them, 21 are 0.875.
    elevation = np.ones((5, 5))
    elevation[2, 2], elevation[0, 0], elevation[4, 1], elevation[1, 4] = 5.0, np.nan, np.nan, 23.0
    assert relative_position_m(elevation, MIDDLE, MIDDLE, (2, 2))[0] == pytest.approx(5 - (21 + 23) / 22)
    elevation[0, 1] = np.nan
    assert np.isnan(relative_position_m(elevation, MIDDLE, MIDDLE, (2, 2))[0])


def test_a_missing_cell_and_one_without_neighbours_have_none():
    elevation = np.array([[1.0, np.nan, 3.0]])
    row, columns = np.array([0, 0]), np.array([1, 0])
    assert np.isnan(relative_position_m(elevation, row, columns, (1, 1))).all()
    assert np.isnan(relative_position_m([[np.nan]], np.array([0]), np.array([0]), (1, 1))).all()
    assert relative_position_m(np.full((2, 2), np.nan), MIDDLE[:0], MIDDLE[:0], (1, 1)).shape == (0,)


def test_great_heights_keep_small_differences():
    elevation = np.full((41, 41), 8_000.0)
    elevation[20, 20] += 1e-6
    centre = np.array([20])
    assert relative_position_m(elevation, centre, centre, (20, 20))[0] == pytest.approx(1e-6, abs=1e-9)


@pytest.mark.parametrize(("shape", "reach"), [((5,), (1, 1)), ((5, 5), (0, 1)), ((5, 5), (1, 0))])
def test_what_is_no_raster_or_reaches_nowhere_is_refused(shape, reach):
    with pytest.raises(ValueError, match="reach of"):
        relative_position_m(np.zeros(shape), MIDDLE, MIDDLE, reach)
