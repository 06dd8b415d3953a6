"""Value curves at their corners."""

import numpy as np
import pytest

from geo_scout.formulas.value_curves import curve_range, falling, plateau, rising


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
    with pytest.raises(ValueError, match="no curve 'bell'; the curves are rising, falling, plateau"):
        curve_range("bell", [0, 1], [0], [1])
    with pytest.raises(ValueError, match="a plateau curve has 4 limits, not 2"):
        curve_range("plateau", [0, 1], [0], [1])
    with pytest.raises(ValueError, match="must not fall"):
        curve_range("rising", [1, 0], [0], [1])
