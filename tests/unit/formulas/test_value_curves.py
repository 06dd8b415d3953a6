"""Value curves at their corners."""

import numpy as np
import pytest

from geo_scout.formulas.value_curves import curve_range, falling, plateau, rising, s_shaped, steps


def test_rising():
    values = rising([-5.0, 2.0, 3.0, 4.0, 6.0, 7.0, np.nan], 2.0, 6.0)
    assert values[:-1].tolist() == [0.0, 0.0, 0.25, 0.5, 1.0, 1.0]
    assert np.isnan(values[-1])


def test_falling():
    values = falling([-5.0, 2.0, 3.0, 4.0, 6.0, 7.0, np.nan], 2.0, 6.0)
    assert values[:-1].tolist() == [1.0, 1.0, 0.75, 0.5, 0.0, 0.0]
    assert np.isnan(values[-1])


def test_plateau():
    values = plateau([0.0, 1.0, 2.0, 3.0, 5.0, 6.0, 9.0, 10.0, np.nan], 1.0, 3.0, 5.0, 9.0)
    assert values[:-1].tolist() == [0.0, 0.0, 0.5, 1.0, 1.0, 0.75, 0.0, 0.0]
    assert np.isnan(values[-1])


def test_s_shaped():
    # t = 0, 1/4, 1/2, 3/4, 1: 2 t^2 up to the middle, then 1 - 2 (1 - t)^2
    measures = [-5.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, np.nan]
    values = s_shaped(measures, 2.0, 6.0)
    assert values[:-1].tolist() == [0.0, 0.0, 0.125, 0.5, 0.875, 1.0, 1.0]
    assert np.isnan(values[-1])
    turned = s_shaped(measures, 6.0, 2.0)
    assert turned[:-1].tolist() == [1.0, 1.0, 0.875, 0.5, 0.125, 0.0, 0.0]
    assert np.isnan(turned[-1])


def test_s_shaped_is_smooth():
    # Its slope grows from 0 to 2 / (to - from) in the middle and back; a step of 0.001 changes it by
    # 4 x 0.001 / (to - from)^2 and no more.
    slope = np.diff(s_shaped(np.arange(-0.1, 1.1, 0.001), 0.0, 1.0)) / 0.001
    assert np.abs(np.diff(slope)).max() <= 0.004 + 1e-9
    assert slope.max() == pytest.approx(2.0, abs=0.003)


def test_steps_hold_their_left_limit():
    values = steps([-9.0, 4.999, 5.0, 19.999, 20.0, 99.0, np.nan], [5.0, 20.0], [0.2, 1.0, 0.0])
    assert values[:-1].tolist() == [0.2, 0.2, 1.0, 1.0, 0.0, 0.0]
    assert np.isnan(values[-1])
    assert np.isnan(steps(np.nan, [5.0], [0.0, 1.0]))


@pytest.mark.parametrize(
    ("limits", "levels", "message"),
    [
        ([], [0.5], "at least one limit"),
        ([1.0, 1.0], [0.0, 0.5, 1.0], "each limit above the one before"),
        ([2.0, 1.0], [0.0, 0.5, 1.0], "must not fall: 2, 1"),
        ([1.0, np.inf], [0.0, 0.5, 1.0], "finite"),
        ([1.0, 2.0], [0.0, 1.0], "one level more than limits: 3, not 2"),
        ([1.0], [0.0, 1.5], "from 0 to 1, not 0, 1.5"),
        ([1.0], [0.0, np.nan], "from 0 to 1, not 0, nan"),
    ],
)
def test_steps_that_are_none_are_refused(limits, levels, message):
    with pytest.raises(ValueError, match=message):
        steps([1.0], limits, levels)
    with pytest.raises(ValueError, match=message):
        curve_range("steps", limits, [1.0], [2.0], levels=levels)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 4, (0.2, 0.2)),
        (0, 5, (0.2, 1.0)),
        (4, 25, (0.0, 1.0)),
        (25, 5, (0.0, 1.0)),
        (5, 19, (1.0, 1.0)),
        (20, 30, (0.0, 0.0)),
    ],
)
def test_curve_range_of_steps_sees_the_steps_between(low, high, expected):
    lowest, highest = curve_range("steps", [5, 20], [low], [high], levels=[0.2, 1.0, 0.0])
    assert (lowest[0], highest[0]) == expected


def test_curve_range_of_steps_with_an_open_end_is_unknown():
    lowest, highest = curve_range("steps", [5], [np.nan, 1.0], [1.0, np.nan], levels=[0.0, 1.0])
    assert np.isnan(lowest).all()
    assert np.isnan(highest).all()


def test_equal_limits_make_a_step_with_the_limit_on_the_good_side():
    around = [2.999, 3.0, 3.001]
    assert rising(around, 3.0, 3.0).tolist() == [0.0, 1.0, 1.0]
    assert falling(around, 3.0, 3.0).tolist() == [1.0, 1.0, 0.0]
    assert plateau(around, 3.0, 3.0, 3.0, 3.0).tolist() == [0.0, 1.0, 0.0]
    assert np.isnan(rising(np.nan, 3.0, 3.0))
    assert np.isnan(falling(np.nan, 3.0, 3.0))


def test_limits_given_in_numbers_that_are_no_powers_of_two_reach_exactly_one_and_zero():
    assert rising([0.1, 0.3], 0.1, 0.3).tolist() == [0.0, 1.0]
    assert falling([0.1, 0.3], 0.1, 0.3).tolist() == [1.0, 0.0]


@pytest.mark.parametrize(
    ("curve", "limits", "message"),
    [
        (rising, (2.0, 1.0), "must not fall: 2, 1"),
        (falling, (2.0, 1.0), "must not fall: 2, 1"),
        (plateau, (1.0, 3.0, 2.0, 4.0), "must not fall: 1, 3, 2, 4"),
        (rising, (0.0, np.inf), "finite"),
        (plateau, (np.nan, 1.0, 2.0, 3.0), "finite"),
    ],
)
def test_turned_or_infinite_limits_are_refused(curve, limits, message):
    with pytest.raises(ValueError, match=message):
        curve([1.0], *limits)


@pytest.mark.parametrize(
    ("shape", "limits", "low", "high", "expected"),
    [
        ("rising", [0, 10], 2, 5, (0.2, 0.5)),
        ("rising", [0, 10], 5, 2, (0.2, 0.5)),
        ("falling", [0, 10], 2, 5, (0.5, 0.8)),
        ("plateau", [0, 10, 20, 40], 2, 5, (0.2, 0.5)),
        ("plateau", [0, 10, 20, 40], 25, 35, (0.25, 0.75)),
        ("plateau", [0, 10, 20, 40], 5, 38, (0.1, 1.0)),
        ("plateau", [0, 10, 20, 40], -5, 55, (0.0, 1.0)),
        ("plateau", [0, 10, 20, 40], 12, 15, (1.0, 1.0)),
        ("plateau", [0, 10, 10, 40], 5, 25, (0.5, 1.0)),
        ("rising", [3, 3], 2, 4, (0.0, 1.0)),
        ("s_shaped", [0, 4], 1, 3, (0.125, 0.875)),
        ("s_shaped", [4, 0], 1, 2, (0.5, 0.875)),
    ],
)
def test_curve_range(shape, limits, low, high, expected):
    lowest, highest = curve_range(shape, limits, [low], [high])
    assert (lowest[0], highest[0]) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("shape", "limits"), [("rising", [0, 1]), ("falling", [0, 1]), ("plateau", [0, 1, 2, 3])]
)
def test_curve_range_of_an_open_interval_is_unknown_at_both_ends(shape, limits):
    lowest, highest = curve_range(shape, limits, [np.nan, 0.5], [0.5, np.nan])
    assert np.isnan(lowest).all()
    assert np.isnan(highest).all()
    assert [part.shape for part in curve_range(shape, limits, [], [])] == [(0,), (0,)]


def test_curve_range_names_what_it_does_not_know():
    with pytest.raises(
        ValueError, match="no curve 'bell'; the curves are rising, falling, plateau, s_shaped, steps"
    ):
        curve_range("bell", [0, 1], [0], [1])
    with pytest.raises(ValueError, match="a plateau curve has 4 limits, not 2"):
        curve_range("plateau", [0, 1], [0], [1])
    with pytest.raises(ValueError, match="must not fall"):
        curve_range("rising", [1, 0], [0], [1])
    with pytest.raises(ValueError, match="a rising curve has no levels"):
        curve_range("rising", [0, 1], [0], [1], levels=[0, 1])
    with pytest.raises(ValueError, match="one level more than limits: 2, not 0"):
        curve_range("steps", [0], [0], [1])
