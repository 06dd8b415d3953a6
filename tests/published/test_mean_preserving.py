"""Daily values from monthly means: the means come back, and independent routes agree.

The routes: the analytic means of a cosine; the algorithm of Rymes & Myers 2001 (Solar Energy 71:225-231), written out
here; the condition for the smoothest series (Delhez 2003), checked in the space of all changes that leave the
means alone.
"""

import calendar

import numpy as np
import pytest
from scipy.linalg import null_space

from geo_scout.formulas.temperatures import days_from_months, month_of_day

# Monthly means of Champion, Nebraska (aquacrop 3.1.0), rounded to whole degrees: a strong seasonal cycle.
CONTINENTAL = np.array([-3, -1, 4, 9, 15, 20, 24, 22, 17, 10, 3, -3.0])


def lengths(year):
    return np.array([calendar.monthrange(year, month)[1] for month in range(1, 13)])


@pytest.mark.parametrize(("days_in_year", "year"), [(365, 2027), (366, 2028)])
def test_monthly_means_come_back(days_in_year, year):
    random = np.random.default_rng(5)
    monthly = random.uniform(-60, 60, (12, 200))
    daily = days_from_months(monthly, days_in_year)
    assert daily.shape == (days_in_year, 200)
    ends = np.cumsum(lengths(year))
    means = [daily[end - days : end].mean(axis=0) for end, days in zip(ends, lengths(year), strict=True)]
    np.testing.assert_allclose(means, monthly, rtol=0, atol=1e-9)


@pytest.mark.parametrize("days_in_year", [365, 366])
def test_a_cosine_is_given_back(days_in_year):
    """The monthly means of a + b cos are known exactly; the daily values must be the cosine.

    Within 0.5 % of the amplitude: a mean of two months' curvature is all that twelve numbers leave open. Straight
    lines between the middles of the months miss the peak by more than 2 %.
    """
    day = np.arange(days_in_year) + 0.5
    truth = 10.0 + 15.0 * np.cos(2 * np.pi * (day - 200.0) / days_in_year)
    months = month_of_day(days_in_year)
    monthly = np.array([truth[months == month].mean() for month in range(12)])
    assert np.abs(days_from_months(monthly, days_in_year) - truth).max() < 0.005 * 15.0
    middles = np.array([day[months == month].mean() for month in range(12)])
    straight = np.interp(day, middles, monthly, period=days_in_year)
    assert np.abs(straight - truth).max() > 0.02 * 15.0


def rymes_myers(monthly, days_of_month):
    """Repeat: running mean of three days, then shift each month back to its mean."""
    months = np.repeat(np.arange(12), days_of_month)
    daily = monthly[months]
    for _ in range(days_of_month.sum()):
        daily = (np.roll(daily, 1) + daily + np.roll(daily, -1)) / 3.0
        daily += (monthly - np.bincount(months, daily) / days_of_month)[months]
    return daily


@pytest.mark.parametrize("year", [2027, 2028])
def test_close_to_the_algorithm_of_rymes_and_myers(year):
    """Two different ideas of smooth, same means: within 0.2 degC on every day of a 27 degC seasonal cycle."""
    theirs = rymes_myers(CONTINENTAL, lengths(year))
    ours = days_from_months(CONTINENTAL, int(lengths(year).sum()))
    assert np.abs(theirs - ours).max() < 0.2
    assert np.corrcoef(np.diff(theirs), np.diff(ours))[0, 1] > 0.99


def test_no_smoother_series_has_the_same_means():
    """The gradient of the sum of squared second differences vanishes along every change that keeps the means."""
    daily = days_from_months(CONTINENTAL)
    months = month_of_day()
    keeps_means = null_space((months == np.arange(12)[:, None]).astype(float))
    assert keeps_means.shape == (365, 353)

    def second(values):
        return np.roll(values, -1, axis=0) - 2 * values + np.roll(values, 1, axis=0)

    gradient = keeps_means.T @ second(second(daily))
    assert np.abs(gradient).max() < 1e-10
