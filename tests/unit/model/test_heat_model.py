"""A heat model keeps what belongs together, and refuses what contradicts itself."""

import dataclasses
import datetime as dt

import pytest

from geo_scout.model.heat_model import HeatModel, MonthDay

MARCH = MonthDay(3, 1)


def test_a_day_of_the_year_becomes_a_month_and_day():
    assert [MonthDay.of_day_of_year(day) for day in (1, 59, 60, 182, 365)] == [
        MonthDay(1, 1), MonthDay(2, 28), MonthDay(3, 1), MonthDay(7, 1), MonthDay(12, 31),
    ]  # fmt: skip


@pytest.mark.parametrize("day_of_year", [0, 366, -3])
def test_a_day_beyond_the_year_is_refused(day_of_year):
    with pytest.raises(ValueError, match="1 to 365"):
        MonthDay.of_day_of_year(day_of_year)


def test_the_29th_of_february_is_the_1st_of_march_where_there_is_none():
    assert MonthDay(2, 29).on(2028) == dt.date(2028, 2, 29)
    assert MonthDay(2, 29).on(2027) == dt.date(2027, 3, 1)
    assert MonthDay(2, 29).on(2100) == dt.date(2100, 3, 1)
    assert [MonthDay(2, 29).until(year).day for year in (2027, 2028, 2100)] == [28, 29, 28]
    assert MonthDay(3, 1).until(2027) == dt.date(2027, 3, 1)


@pytest.mark.parametrize(("month", "day"), [(13, 1), (2, 30), (4, 31), (0, 5)])
def test_a_day_no_year_has_is_refused(month, day):
    with pytest.raises(ValueError, match=r"month|day"):
        MonthDay(month, day)


def test_fahrenheit_thresholds_and_sums_convert_differently():
    model = HeatModel(50.0, "degf", "double_sine", MARCH, "horizontal", 86.0)
    assert model.base_degc == pytest.approx(10.0)
    assert model.upper_degc == pytest.approx(30.0)
    assert model.degc_days([18.0, 180.0]).tolist() == pytest.approx([10.0, 100.0])
    assert model.own_degree_days([10.0, 100.0]).tolist() == pytest.approx([18.0, 180.0])


def test_celsius_is_left_alone():
    model = HeatModel(7.5, "degc", "single_sine", MARCH)
    assert (model.base_degc, model.upper_degc, model.degc_days(326.0).item()) == (7.5, None, 326.0)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"upper": None}, "upper is None and cutoff is 'horizontal'; give both or neither"),
        ({"cutoff": "none"}, "upper is 30.0 and cutoff is 'none'; give both or neither"),
        ({"upper": 10.0}, "upper is 10.0; it must be above the base, 10.0"),
        ({"upper": float("nan")}, "upper is nan; it must be above the base"),
        ({"base": float("inf")}, "base is inf; it must be a number"),
        ({"unit": "kelvin"}, "unit is 'kelvin'; it must be one of degc, degf"),
        (
            {"method": "sine"},
            "method is 'sine'; it must be one of simple_average, clipped_average, single_sine",
        ),
        ({"cutoff": "flat"}, "cutoff is 'flat'; it must be one of none, horizontal, vertical, intermediate"),
    ],
)
def test_a_contradiction_is_refused_in_words(change, message):
    model = HeatModel(10.0, "degc", "single_sine", MARCH, "horizontal", 30.0)
    with pytest.raises(ValueError, match=message):
        dataclasses.replace(model, **change)
