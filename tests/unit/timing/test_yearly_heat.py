"""At 20 degC above 10 degC a day has 10 degree-days, 300 in the thirty days of June."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.timing.yearly_heat import yearly_heat
from tests.weather_frames import heat, temperatures, weather

MAY = dt.date(2027, 5, 1)


def in_june(day):
    return 20.0 if day.month == 6 else 0.0


def test_ten_whole_years_give_their_mean():
    record = weather({"Ford": in_june}, "2016-01-01", "2026-12-31")
    assert yearly_heat(heat(opens=1), temperatures(record, normals_degc=11.0), MAY) == pytest.approx([300.0])


def test_fewer_years_leave_it_to_the_normals():
    record = weather({"Ford": in_june}, "2018-01-01", "2026-12-31")
    found = yearly_heat(heat(opens=1), temperatures(record, normals_degc=11.0), MAY)
    assert found == pytest.approx([365.0])


def test_a_leap_year_asked_about_has_one_day_more_of_normals():
    found = yearly_heat(heat(opens=1), temperatures(normals_degc=11.0), dt.date(2028, 5, 1))
    assert found == pytest.approx([366.0])


def test_heat_of_29_february_is_that_of_the_day_before():
    record = weather({"Ford": lambda day: 20.0 if day.month == 2 else 0.0}, "2016-01-01", "2027-12-31")
    assert yearly_heat(heat(opens=1), temperatures(record), dt.date(2027, 5, 1)) == pytest.approx([280.0])
    assert yearly_heat(heat(opens=1), temperatures(record), dt.date(2028, 5, 1)) == pytest.approx([290.0])


def test_without_temperatures_it_is_unknown():
    assert np.isnan(yearly_heat(heat(opens=1), temperatures(), MAY)).all()
