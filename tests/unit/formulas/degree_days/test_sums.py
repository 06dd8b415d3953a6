"""Heat sums and the day they are reached, done by hand."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.sums import accumulate, day_reached, day_reached_in_blocks
from geo_scout.model.heat_model import METHODS, HeatModel, MonthDay

NAN = np.nan


def test_sums_run_on_per_site_and_end_at_a_gap():
    daily = [[1.0, 2.0], [3.0, NAN], [5.0, 4.0]]
    np.testing.assert_array_equal(accumulate(daily), [[1, 2], [4, NAN], [9, NAN]])


def test_the_day_within_which_a_sum_is_reached():
    # 4 a day: 6 half-way through the second day; 8 as the second day ends, which still is the second day
    daily = np.full((5, 1), 4.0)
    linear, whole = (
        day_reached(daily, [6.0, 8.0, 20.0]),
        day_reached(daily, [6.0, 8.0, 20.0], whole_days=True),
    )
    assert linear.day.ravel() == pytest.approx([1.5, 2.0, 5.0], abs=1e-8)
    assert np.floor(linear.day.ravel()).tolist() == [1.0, 1.0, 4.0]
    assert whole.day.ravel().tolist() == [1.0, 1.0, 4.0]
    assert linear.known.all()
    assert whole.known.all()


def test_tenths_that_do_not_add_up_in_binary_reach_their_sum_on_the_day():
    daily = np.full((30, 1), 0.1)
    # eight tenths add up to 0.7999999999999999 and ten to 0.9999999999999999
    assert sum([0.1] * 8) < 0.8
    assert day_reached(daily, [0.8, 1.0], whole_days=True).day.ravel().tolist() == [7.0, 9.0]


def test_idle_days_before_and_between_do_not_count():
    daily = np.array([[0.0], [0.0], [2.0], [0.0], [0.0], [4.0]])
    assert day_reached(daily, [1.0, 2.0, 3.0]).day.ravel() == pytest.approx([2.5, 3.0, 5.25], abs=1e-8)


def test_a_sum_that_is_not_reached_is_nan_and_known():
    reached = day_reached(np.full((5, 1), 4.0), [20.1])
    assert np.isnan(reached.day).all()
    assert reached.known.all()


def test_a_sum_of_nothing_is_reached_at_once():
    reached = day_reached([[0.0, NAN], [3.0, 3.0]], [0.0])
    assert reached.day.tolist() == [[0.0, 0.0]]
    assert reached.known.all()


def test_a_gap_hides_what_comes_after_it_and_nothing_before():
    daily = np.array([[4.0], [4.0], [NAN], [4.0], [4.0]])
    reached = day_reached(daily, [6.0, 10.0, 1000.0])
    np.testing.assert_array_equal(reached.day, [[1.5], [NAN], [NAN]])
    np.testing.assert_array_equal(reached.known, [[True], [False], [False]])


def test_an_unknown_sum_is_unknown():
    reached = day_reached(np.full((5, 2), 4.0), [NAN, 4.0])
    np.testing.assert_array_equal(reached.known, [[False, False], [True, True]])
    assert np.isnan(reached.day[0]).all()


def test_each_site_may_have_its_own_sum():
    reached = day_reached(np.tile([1.0, 2.0], (9, 1)), [[3.0, 9.0]], whole_days=True)
    assert reached.day.tolist() == [[2.0, 4.0]]


def test_no_days_tell_nothing():
    reached = day_reached(np.zeros((0, 2)), [5.0])
    assert np.isnan(reached.day).all()
    assert not reached.known.any()


@pytest.mark.parametrize(
    ("daily", "sums", "message"),
    [
        (np.zeros(5), [1.0], r"\(days, sites\) is needed"),
        (np.zeros((5, 2)), [-1.0], r"negative \(-1.0 degC days\)"),
        (np.zeros((5, 2)), 3.0, r"\(k,\) or \(k, 2\) is needed"),
        (np.zeros((5, 2)), np.zeros((1, 3)), r"\(k,\) or \(k, 2\) is needed"),
    ],
)
def test_what_does_not_fit_is_refused(daily, sums, message):
    with pytest.raises(ValueError, match=message):
        day_reached(daily, sums)


@pytest.mark.parametrize("method", METHODS)
def test_blocks_do_not_change_the_answer_or_the_inputs(method):
    random = np.random.default_rng(2)
    tmin = random.normal(8.0, 6.0, (80, 23))
    tmin[random.random(tmin.shape) < 0.01] = NAN
    tmax = tmin + random.uniform(0.0, 15.0, tmin.shape)
    following = random.normal(8.0, 6.0, 23)
    before = tmin.copy(), tmax.copy()
    model = HeatModel(7.5, "degc", method, MonthDay(1, 1), "intermediate", 18.0)
    sums = random.uniform(0.0, 500.0, (3, 23))
    whole = day_reached(daily_degree_days(tmin, tmax, model, following), sums)
    for size in (1, 7, 23, 1000):
        found = day_reached_in_blocks(tmin, tmax, model, sums, next_tmin_degc=following, sites_per_block=size)
        np.testing.assert_allclose(found.day, whole.day, rtol=0, atol=1e-9)
        np.testing.assert_array_equal(found.known, whole.known)
    np.testing.assert_array_equal([tmin, tmax], before)


def test_blocks_hand_on_the_day_after_the_last():
    # the second half of the day falls from 20 to 0 at one site and to 10 at the other: 3.75 and 5 degree-days
    model = HeatModel(10.0, "degc", "double_triangle", MonthDay(1, 1))
    tmin, tmax = np.full((1, 2), 10.0), np.full((1, 2), 20.0)
    found = day_reached_in_blocks(
        tmin, tmax, model, [4.0], next_tmin_degc=np.array([0.0, 10.0]), sites_per_block=1
    )
    assert np.isnan(found.day).tolist() == [[True, False]]
