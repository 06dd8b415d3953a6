"""The normals route: expectation, flags, start dates, what-ifs, and joining with this season."""

import numpy as np
import pytest
from scipy.stats import norm

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.normals import (
    normal_days_reached,
    normal_degree_days,
    observed_then_normal,
)
from geo_scout.formulas.temperatures import days_from_months
from geo_scout.model.heat_model import METHODS, HeatModel, MonthDay

NAN = np.nan
TMIN = np.array([-9, -7, -3, 2, 7, 12, 15, 14, 8, 2, -4, -8.0])[:, None]
TMAX = TMIN + 13.0
JANUARY = HeatModel(10.0, "degc", "single_sine", MonthDay(1, 1))


def constant(low, high):
    return np.full((12, 1), low), np.full((12, 1), high)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(("cutoff", "upper"), [("none", None), ("horizontal", 25.0), ("intermediate", 25.0)])
def test_the_sum_is_the_mean_over_a_normal_spread_of_days(method, cutoff, upper):
    """Against 4,000 equally likely shifts of a constant day, 2 to 12 degC with s = 5: within 2 % of a degree-day."""
    model = HeatModel(10.0, "degc", method, MonthDay(1, 1), cutoff, upper)
    found = normal_degree_days(*constant(2.0, 12.0), model, np.full(12, 5.0)).daily_degc_days[0, 0]
    shifts = 5.0 * norm.ppf((np.arange(4_000) + 0.5) / 4_000)[None, :]
    days = np.vstack([2.0 + shifts, 2.0 + shifts])  # the next minimum is the same day's
    truth = daily_degree_days(days, days + 10.0, model)[0].mean()
    assert found == pytest.approx(truth, abs=0.02)


def test_the_jump_of_an_average_at_a_vertical_cutoff_is_spread():
    """A day at 20 degC gives 10 degree-days unless it is above 25: 10 Phi(1) + s (phi(-2) - phi(1)) with s = 5, base 10.

    Sixty-five nodes see a jump to within half the gap between them, 0.6 of these 7.2 degree-days.
    """
    model = HeatModel(10.0, "degc", "simple_average", MonthDay(1, 1), "vertical", 25.0)
    found = normal_degree_days(*constant(20.0, 20.0), model, np.full(12, 5.0)).daily_degc_days[0, 0]
    truth = 10 * (norm.cdf(1) - norm.cdf(-2)) + 5 * (norm.pdf(-2) - norm.pdf(1))
    assert found == pytest.approx(truth, abs=0.6)


def test_the_closed_form_of_an_average_day():
    """E max(0, m + s Z - T) = (m - T) Phi(d) + s phi(d), d = (m - T) / s; m = 7, T = 10, s = 4: 0.5247."""
    model = HeatModel(10.0, "degc", "simple_average", MonthDay(1, 1))
    found = normal_degree_days(*constant(2.0, 12.0), model, np.full(12, 4.0)).daily_degc_days
    by_hand = -3.0 * norm.cdf(-0.75) + 4.0 * norm.pdf(-0.75)
    assert by_hand == pytest.approx(-3 * 0.22663 + 4 * 0.30114, abs=1e-4)
    assert found == pytest.approx(np.full((365, 1), by_hand), abs=0.02)


def test_without_a_spread_the_mean_days_are_summed_and_flagged():
    heat = normal_degree_days(TMIN, TMAX, JANUARY)
    plain = daily_degree_days(days_from_months(TMIN), days_from_months(TMAX), JANUARY)
    np.testing.assert_allclose(heat.daily_degc_days, plain, atol=1e-12)
    assert heat.is_corrected.tolist() == [False]


def test_a_site_without_spread_is_flagged_alone():
    spread = np.full((12, 2), 4.0)
    spread[6, 1] = NAN
    heat = normal_degree_days(np.hstack([TMIN, TMIN]), np.hstack([TMAX, TMAX]), JANUARY, spread)
    assert heat.is_corrected.tolist() == [True, False]
    plain = normal_degree_days(TMIN, TMAX, JANUARY).daily_degc_days[:, 0]
    np.testing.assert_allclose(heat.daily_degc_days[:, 1], plain, atol=1e-12)
    assert (heat.daily_degc_days[:, 0] >= plain - 1e-9).all()
    assert heat.daily_degc_days[:, 0].sum() > plain.sum() + 50


@pytest.mark.parametrize(
    ("start", "days_in_year", "first"),
    [
        ((1, 1), 365, 0),
        ((3, 1), 365, 59),
        ((3, 1), 366, 60),
        ((7, 1), 365, 181),
        ((2, 29), 366, 59),
        ((2, 29), 365, 59),
    ],
)
def test_days_run_from_the_start_date(start, days_in_year, first):
    model = HeatModel(10.0, "degc", "double_sine", MonthDay(*start))
    january = HeatModel(10.0, "degc", "double_sine", MonthDay(1, 1))
    turned = normal_degree_days(
        TMIN, TMAX, model, np.full(12, 3.0), days_in_year=days_in_year
    ).daily_degc_days
    straight = normal_degree_days(
        TMIN, TMAX, january, np.full(12, 3.0), days_in_year=days_in_year
    ).daily_degc_days
    assert turned.shape == (days_in_year, 1)
    np.testing.assert_array_equal(turned, np.roll(straight, -first, axis=0))


def test_the_last_night_of_the_year_is_the_first_of_the_next():
    """Half-days: 31 December falls to the minimum of 1 January, here in a southern summer with no two nights alike."""
    model = HeatModel(10.0, "degc", "double_triangle", MonthDay(1, 1))
    tmin = np.array([10, 12, 9, 5, 2, 0, 0, 1, 3, 5, 7, 8.0])[:, None]
    days_min, days_max = days_from_months(tmin), days_from_months(tmin + 8.0)
    assert abs(days_min[-1, 0] - days_min[0, 0]) > 0.03
    last = daily_degree_days(days_min[-1:], days_max[-1:], model, next_tmin_degc=days_min[0])
    found = normal_degree_days(tmin, tmin + 8.0, model).daily_degc_days[-1]
    assert found == pytest.approx(last[0], abs=1e-9)
    assert found != pytest.approx(daily_degree_days(days_min[-1:], days_max[-1:], model)[0], abs=1e-3)


def test_the_southern_year_is_the_northern_one_half_a_year_on():
    """Normals moved by six months, counted from 1 July: the same dates but for the unequal months."""
    north = normal_days_reached(TMIN, TMAX, JANUARY, [100.0, 326.0], np.full(12, 4.0))
    south_model = HeatModel(10.0, "degc", "single_sine", MonthDay(7, 1))
    south = normal_days_reached(
        np.roll(TMIN, 6, axis=0), np.roll(TMAX, 6, axis=0), south_model, [100.0, 326.0], np.full(12, 4.0)
    )
    assert np.abs(north.day - south.day).max() < 4


def test_a_what_if_is_that_shift_of_the_normals():
    found = normal_days_reached(TMIN, TMAX, JANUARY, [100.0, 326.0], np.full(12, 4.0))
    assert found.day.shape == (3, 2, 1)
    for row, shift in enumerate((-1.0, 0.0, 1.0)):
        alone = normal_days_reached(
            TMIN + shift, TMAX + shift, JANUARY, [100.0, 326.0], np.full(12, 4.0), what_if_degc=[0.0]
        )
        np.testing.assert_allclose(found.day[row], alone.day[0], atol=1e-6)
    assert (np.diff(found.day, axis=0) < -1).all()
    assert found.known.all()


def test_a_cold_place_does_not_reach_and_says_so():
    found = normal_days_reached(TMIN - 20.0, TMAX - 20.0, JANUARY, [326.0], np.full(12, 4.0))
    assert np.isnan(found.day).all()
    assert found.known.all()


def test_missing_normals_are_not_known():
    tmin = np.hstack([TMIN, TMIN])
    tmin[3, 1] = NAN
    found = normal_days_reached(tmin, np.hstack([TMAX, TMAX]), JANUARY, [326.0], np.full((12, 2), 4.0))
    np.testing.assert_array_equal(found.known[:, 0], [[True, False]] * 3)
    np.testing.assert_array_equal(np.isnan(found.day[:, 0]), [[False, True]] * 3)


def test_blocks_do_not_change_the_answer():
    shifts = np.linspace(-4, 4, 11)
    arguments = (TMIN + shifts, TMAX + shifts, JANUARY, [100.0, 326.0], np.full((12, 11), 4.0) + shifts / 8)
    whole = normal_days_reached(*arguments)
    for size in (1, 4):
        found = normal_days_reached(*arguments, sites_per_block=size)
        np.testing.assert_allclose(found.day, whole.day, atol=1e-9)
        np.testing.assert_array_equal(found.is_corrected, whole.is_corrected)


@pytest.mark.parametrize(
    ("tmin", "tmax", "spread", "message"),
    [
        (TMAX, TMIN, None, "above tmax in 12 places, first in month 1 of site 0: 4.0 and -9.0 degC"),
        (TMIN[:11], TMAX[:11], None, r"tmin_degc has shape \(11, 1\); \(12, sites\) is needed"),
        (TMIN, TMAX, np.full(12, -1.0), "a spread is negative"),
        (TMIN, TMAX, np.ones(11), r"spread_degc has shape \(11,\)"),
    ],
)
def test_normals_that_cannot_be_are_refused(tmin, tmax, spread, message):
    with pytest.raises(ValueError, match=message):
        normal_degree_days(tmin, tmax, JANUARY, spread)


def test_this_season_goes_on_with_normal_days_at_each_site():
    observed = np.array([[1.0, NAN, 5.0], [2.0, NAN, NAN], [NAN, NAN, 7.0]])
    normal = np.arange(12.0).reshape(4, 3) + 100
    np.testing.assert_array_equal(
        observed_then_normal(observed, normal), [[1, 101, 5], [2, 104, NAN], [106, 107, 7], [109, 110, 111]]
    )
    np.testing.assert_array_equal(observed_then_normal(np.zeros((0, 3)), normal), normal)


@pytest.mark.parametrize("shape", [(5, 3), (2, 2)])
def test_a_season_longer_or_wider_than_the_normal_year_is_refused(shape):
    with pytest.raises(ValueError, match="observed has shape"):
        observed_then_normal(np.zeros(shape), np.zeros((4, 3)))
