"""Degree-days: the day's integral, units, order of cutoffs, monotone in warmth, calendars that come back."""

import dataclasses
import datetime as dt
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import from_common_calendar, heat_years, to_common_calendar
from geo_scout.formulas.degree_days.normals import normal_degree_days
from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.formulas.degree_days.year_quantiles import day_quantiles
from geo_scout.formulas.temperatures import days_from_months, month_of_day
from geo_scout.model.heat_model import METHODS, HeatModel, MonthDay

UNTIMED = settings(deadline=None, max_examples=60)  # the machine may be busy

methods = st.sampled_from(METHODS)
curves = st.sampled_from(["single_sine", "single_triangle", "simple_average", "clipped_average"])
cutoffs = st.sampled_from(["horizontal", "vertical", "intermediate"])
lows = hnp.arrays(np.float64, (6, 3), elements=st.integers(-300, 400).map(lambda tenths: tenths / 10))
ranges = hnp.arrays(np.float64, (6, 3), elements=st.integers(0, 300).map(lambda tenths: tenths / 10))
months = hnp.arrays(np.float64, (12, 2), elements=st.floats(-40, 40))
JANUARY = MonthDay(1, 1)
DAY = (np.arange(20_000) + 0.5) / 20_000


def model_of(method, cutoff="none", base=10.0, upper=None):
    return HeatModel(base, "degc", method, JANUARY, cutoff, upper)


def shape_of_day(method, low, high):
    """Return the temperature through the day, (instants, days, sites)."""
    instants = DAY[:, None, None]
    if method == "single_sine":
        return (low + high) / 2 - (high - low) / 2 * np.cos(2 * np.pi * instants)
    if method == "single_triangle":
        return low + (high - low) * (1 - np.abs(2 * instants - 1))
    if method == "simple_average":
        return np.broadcast_to((low + high) / 2, (2, *low.shape))
    return np.stack([low, high])


@settings(deadline=None, max_examples=25)
@given(curves, cutoffs, lows, ranges)
def test_degree_days_are_the_integral_of_the_days_rate(method, cutoff, low, width):
    """20,000 instants a day: a step at a cutoff is off by at most one instant at each of two crossings."""
    base, upper = 10.0, 24.0
    temperature = shape_of_day(method, low, low + width)
    over = temperature > upper
    heat = np.maximum(temperature - base, 0.0)
    vertical = np.where(over, 0.0, heat)
    rate = {
        "horizontal": np.minimum(heat, upper - base),
        "vertical": vertical,
        "intermediate": np.where(over, 2 * upper - base - temperature, heat),
    }[cutoff]
    expected = np.maximum(rate.mean(axis=0), vertical.mean(axis=0))
    found = daily_degree_days(low, low + width, model_of(method, cutoff, base, upper))
    np.testing.assert_allclose(found, expected, rtol=0, atol=2 * (upper - base) / len(DAY) + 1e-5)


@UNTIMED
@given(methods, lows, ranges)
def test_a_harder_cutoff_never_gives_more(method, low, width):
    found = [
        daily_degree_days(
            low, low + width, model_of(method, cutoff, 10.0, None if cutoff == "none" else 22.0)
        )
        for cutoff in ("none", "horizontal", "intermediate", "vertical")
    ]
    for softer, harder in itertools.pairwise(found):
        assert (harder <= softer + 1e-9).all()
    assert (found[-1] >= 0).all()


@UNTIMED
@given(methods, st.sampled_from(["none", "horizontal"]), lows, ranges, st.floats(0, 15))
def test_a_warmer_day_never_gives_less(method, cutoff, low, width, warming):
    model = model_of(method, cutoff, 10.0, None if cutoff == "none" else 25.0)
    cool = daily_degree_days(low, low + width, model)
    assert (daily_degree_days(low + warming, low + width + warming, model) >= cool - 1e-9).all()


@UNTIMED
@given(methods, cutoffs, lows, ranges)
def test_units_are_irrelevant(method, cutoff, low, width):
    celsius = model_of(method, cutoff, 7.5, 24.3)
    fahrenheit = dataclasses.replace(celsius, unit="degf", base=7.5 * 1.8 + 32, upper=24.3 * 1.8 + 32)
    first, second = (daily_degree_days(low, low + width, model) for model in (celsius, fahrenheit))
    # at a vertical cutoff an extreme that lies on the threshold may fall to either side of it
    near = (
        (np.abs(low - 24.3) < 1e-6)
        | (np.abs(low + width - 24.3) < 1e-6)
        | (np.abs(low + width / 2 - 24.3) < 1e-6)
    )
    near[:-1] |= near[1:]
    np.testing.assert_allclose(first[~near], second[~near], atol=1e-6)


@UNTIMED
@given(methods, cutoffs, lows, ranges, st.permutations(range(3)))
def test_order_of_sites_is_irrelevant(method, cutoff, low, width, order):
    model = model_of(method, cutoff, 10.0, 25.0)
    straight = day_reached(daily_degree_days(low, low + width, model), [5.0, 20.0])
    turned = day_reached(daily_degree_days(low[:, order], (low + width)[:, order], model), [5.0, 20.0])
    np.testing.assert_array_equal(straight.day[:, order], turned.day)


@UNTIMED
@given(st.sampled_from(["sine", "triangle"]), cutoffs, lows, ranges)
def test_two_like_halves_are_one_day(shape, cutoff, low, width):
    low, width = np.repeat(low[:1], 4, axis=0), np.repeat(width[:1], 4, axis=0)
    single = daily_degree_days(low, low + width, model_of(f"single_{shape}", cutoff, 10.0, 25.0))
    double = daily_degree_days(low, low + width, model_of(f"double_{shape}", cutoff, 10.0, 25.0))
    np.testing.assert_allclose(single, double, atol=1e-12)


@UNTIMED
@given(
    hnp.arrays(np.float64, (20, 2), elements=st.integers(0, 40).map(lambda quarters: quarters / 4)),
    st.lists(st.integers(0, 400).map(lambda quarters: quarters / 4), min_size=1, max_size=4),
)
def test_a_reached_sum_is_the_heat_up_to_its_day(daily, sums):
    reached, whole = day_reached(daily, sums), day_reached(daily, sums, whole_days=True)
    total = np.vstack([np.zeros(2), daily.cumsum(axis=0)])
    for row, wanted in enumerate(sums):
        for site in range(2):
            day = reached.day[row, site]
            assert np.isnan(day) == (total[-1, site] < wanted)
            if not np.isnan(day):
                assert np.interp(day, np.arange(21), total[:, site]) == pytest.approx(wanted, abs=1e-6)
                assert whole.day[row, site] == np.floor(day)
    assert reached.known.all()


@UNTIMED
@given(months, st.sampled_from([365, 366]))
def test_monthly_means_come_back(monthly, days_in_year):
    daily = days_from_months(monthly, days_in_year)
    means = [daily[month_of_day(days_in_year) == month].mean(axis=0) for month in range(12)]
    np.testing.assert_allclose(means, monthly, rtol=0, atol=1e-9)


@settings(deadline=None, max_examples=20)
@given(methods, months, st.floats(0, 20), st.floats(0.1, 8))
def test_a_spread_never_takes_heat_away_without_a_cutoff(method, tmin, width, spread):
    """Jensen: each method is convex in the temperature; the quadrature keeps that up to its own error."""
    model = model_of(method)
    heat = [
        normal_degree_days(tmin, tmin + width, model, given_spread).daily_degc_days.sum(axis=0)
        for given_spread in (None, np.full(12, spread))
    ]
    assert (heat[1] >= heat[0] - 1e-6 * (1 + heat[0])).all()


@UNTIMED
@given(
    st.dates(dt.date(1999, 1, 1), dt.date(2040, 1, 1)),
    st.integers(0, 2000),
    st.integers(1, 365).map(MonthDay.of_day_of_year),
)
def test_heat_years_follow_each_other_without_a_day_lost(first_day, days, start):
    years = heat_years(first_day, days, start)
    for one, following in itertools.pairwise(years):
        assert one.rows.stop == following.rows.start
        assert one.is_complete
    for year in years:
        assert first_day + dt.timedelta(days=year.rows.start) == year.start
        assert (year.start.month, year.start.day) == (start.month, start.day)
        assert year.rows.stop <= days
    if years:
        assert years[-1].rows.stop == days
        assert years[0].rows.start < 366


@UNTIMED
@given(
    st.dates(dt.date(1999, 1, 1), dt.date(2040, 1, 1)),
    hnp.arrays(np.float64, 5, elements=st.floats(0, 364.9)),
)
def test_the_common_calendar_comes_back_and_keeps_order(start, days):
    np.testing.assert_allclose(to_common_calendar(from_common_calendar(days, start), start), days, atol=1e-9)
    ordered = to_common_calendar(np.sort(days), start)
    assert (np.diff(ordered) >= 0).all()
    assert (np.abs(ordered - np.sort(days)) <= 1).all()


@UNTIMED
@given(
    hnp.arrays(np.float64, st.tuples(st.integers(10, 25), st.integers(1, 4)), elements=st.floats(0, 365)),
    st.lists(st.floats(0, 1), min_size=1, max_size=4),
)
def test_quantiles_over_years_are_numpys(days, shares):
    found = day_quantiles(days, np.full(days.shape, True), quantiles=shares)
    np.testing.assert_allclose(found.day, np.quantile(days, shares, axis=0), atol=1e-5)
