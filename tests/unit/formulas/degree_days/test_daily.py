"""Daily degree-days: halves of days, missing days, refusals."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.model.heat_model import METHODS, HeatModel, MonthDay

NAN = np.nan
TRIANGLES = HeatModel(10.0, "degc", "double_triangle", MonthDay(1, 1))


def test_the_second_half_of_a_day_goes_to_the_next_minimum():
    # Up from 10 to 20, all above the base: mean 5. Down to 0: the upper half is above, 10 x 0.5 / 2 = 2.5. Mean 3.75.
    # The second day rises from 0 to 10 and gives nothing up; down again to its own minimum, nothing.
    assert daily_degree_days([10.0, 0.0], [20.0, 10.0], TRIANGLES).tolist() == [3.75, 0.0]


def test_the_day_after_the_last_may_be_given():
    daily = daily_degree_days([[10.0, 10.0]], [[20.0, 20.0]], TRIANGLES, next_tmin_degc=[0.0, 10.0])
    assert daily.tolist() == [[3.75, 5.0]]


def test_a_night_warmer_than_the_day_before_is_a_rise():
    # From 14 up to a next minimum of 18: mean 16, 6 above the base; first half from 4 to 14: 4 x 0.4 / 2 = 0.8.
    assert daily_degree_days([4.0, 18.0], [14.0, 20.0], TRIANGLES)[0] == pytest.approx((6.0 + 0.8) / 2)


@pytest.mark.parametrize("method", METHODS)
def test_a_missing_temperature_is_a_missing_day(method):
    tmin = np.array([[5.0, NAN], [6.0, 6.0], [NAN, 7.0]])
    tmax = np.array([[15.0, 15.0], [NAN, 16.0], [17.0, 17.0]])
    missing = np.isnan(daily_degree_days(tmin, tmax, HeatModel(8.0, "degc", method, MonthDay(1, 1))))
    # the day before a missing minimum is missing by half-days only
    expected = [[False, True], [True, False], [True, False]]
    np.testing.assert_array_equal(missing, expected)


def test_half_days_need_the_next_minimum():
    daily = daily_degree_days([12.0, NAN, 12.0], [20.0, 20.0, 20.0], TRIANGLES)
    np.testing.assert_array_equal(np.isnan(daily), [True, True, False])


@pytest.mark.parametrize("method", METHODS)
def test_no_days_give_no_heat(method):
    model = HeatModel(8.0, "degc", method, MonthDay(1, 1))
    assert daily_degree_days(np.zeros((0, 3)), np.zeros((0, 3)), model).shape == (0, 3)


def test_single_precision_is_read():
    tmin, tmax = np.float32([[10.0]]), np.float32([[20.0]])
    assert daily_degree_days(tmin, tmax, TRIANGLES).dtype == np.float64


def test_extremes_the_wrong_way_round_are_refused_with_their_place():
    with pytest.raises(ValueError, match=r"above tmax in 2 places, first at \(1, 0\): 12.0 and 11.0 degC"):
        daily_degree_days(
            [[1.0, 2.0], [12.0, 3.0], [4.0, 9.0]], [[5.0, 5.0], [11.0, 5.0], [5.0, 8.0]], TRIANGLES
        )


@pytest.mark.parametrize(
    ("low", "high"), [((3, 2), (2, 3)), ((3,), (3, 1)), ((), ()), ((2, 2, 2), (2, 2, 2))]
)
def test_shapes_that_do_not_fit_are_refused(low, high):
    with pytest.raises(ValueError, match=r"\(days,\) or \(days, sites\)"):
        daily_degree_days(np.zeros(low), np.ones(high), TRIANGLES)
