"""Daily values from months, gaps, spreads: by hand."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.formulas.temperatures import days_from_months, fill_gaps, month_of_day, monthly_spread_degc

NAN = np.nan


def test_a_constant_year_stays_constant():
    np.testing.assert_allclose(days_from_months(np.full(12, 7.25)), 7.25, atol=1e-10)


def test_the_year_goes_on_at_new_year():
    """A cycle that turns in January must not have a kink between 31 December and 1 January."""
    daily = days_from_months([-12, -8, -2, 6, 12, 17, 20, 18, 12, 5, -3, -9.0])
    steps = np.diff(np.concatenate([daily, daily[:1]]))
    assert abs(steps[-1] - steps[-2]) < 0.05
    assert abs(steps[0] - steps[-1]) < 0.05


def test_one_missing_month_hides_the_site_and_no_other():
    months = np.tile(np.arange(12.0)[:, None], (1, 3))
    months[4, 1] = NAN
    daily = days_from_months(months)
    np.testing.assert_array_equal(np.isnan(daily).any(axis=0), [False, True, False])
    assert np.isnan(daily[:, 1]).all()


@pytest.mark.parametrize("shape", [(11, 3), (12, 3, 2), (365,)])
def test_other_than_twelve_months_is_refused(shape):
    with pytest.raises(ValueError, match=r"\(12, sites\) is needed"):
        days_from_months(np.zeros(shape))


def test_a_year_of_another_length_is_refused():
    with pytest.raises(ValueError, match="a year of 360 days"):
        days_from_months(np.zeros(12), 360)


def test_months_of_days():
    assert np.bincount(month_of_day()).tolist() == [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    assert month_of_day(366)[59] == 1
    assert month_of_day(365)[59] == 2
    with pytest.raises(ValueError, match="read-only"):
        month_of_day()[0] = 5


def test_spread_pools_the_days_of_a_month_over_years():
    # Every January day is 1 or 3 by turns over two years: 31 of each, mean 2, squares sum to 62, divided by 61.
    days = 2 * 365
    mean = np.where(np.arange(days) % 2 == 0, 1.0, 3.0)[:, None]
    spread = monthly_spread_degc(mean - 5, mean + 5, dt.date(2025, 1, 1))
    assert spread.shape == (12, 1)
    assert spread[0, 0] == pytest.approx(np.sqrt(62 / 61))


def test_spread_of_too_few_days_is_not_known():
    days = np.zeros((59, 2))
    days[31 + 5, 1] = NAN
    spread = monthly_spread_degc(days, days, dt.date(2027, 1, 1))
    np.testing.assert_array_equal(np.isnan(spread[:3]), [[False, False], [False, True], [True, True]])
    assert not np.isnan(monthly_spread_degc(days, days, dt.date(2027, 1, 1), fewest_days=27)[1]).any()


def test_short_gaps_are_bridged_and_long_ones_stay():
    values = np.array([NAN, 1.0, NAN, NAN, 4.0, NAN, NAN, NAN, 8.0, NAN])
    filled = fill_gaps(values[:, None], longest_days=2).ravel()
    np.testing.assert_array_equal(filled, [NAN, 1, 2, 3, 4, NAN, NAN, NAN, 8, NAN])
    np.testing.assert_array_equal(values[2:4], [NAN, NAN])


def test_gaps_of_one_site_do_not_touch_another():
    values = np.array([[1.0, 5.0], [NAN, 6.0], [3.0, NAN], [4.0, 8.0]])
    np.testing.assert_array_equal(fill_gaps(values, 5), [[1, 5], [2, 6], [3, 7], [4, 8]])
    np.testing.assert_array_equal(fill_gaps(values, 0), values)


def test_a_site_without_any_day_stays_empty():
    assert np.isnan(fill_gaps(np.full((4, 1), NAN), 10)).all()
