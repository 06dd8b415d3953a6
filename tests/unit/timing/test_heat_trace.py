"""Hand arithmetic: at 20 degC all day above a base of 10 degC, a day has 10 degree-days."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.timing import heat_trace, site_windows
from tests.weather_frames import by_heat, from_day, temperatures, weather

AS_OF = dt.date(2027, 5, 1)


def trace(table, known, as_of=AS_OF):
    windows = site_windows(table, known, as_of, 14)
    return windows, heat_trace(table.heat, known, windows, 0)


def test_every_year_has_its_day_without_29_february():
    """151 days lie before 1 June; 95 degree-days are 9.5 days more, 205 are 20.5, in leap years too."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    windows, found = trace(by_heat(opens=95, peaks=205), temperatures(record))
    assert found.years == tuple(range(2015, 2027))
    np.testing.assert_allclose(found.days[1], 160.5)
    np.testing.assert_allclose(found.days[2], 171.5)
    assert np.isnan(found.days[[0, 3]]).all()
    assert found.middle[1:3].tolist() == [160.5, 171.5]
    assert str(windows.dates[1, 0]) == "2027-06-10"
    # In the last of the years nine days had gone by with 90, and the tenth brought 100.
    assert found.example == (dt.date(2026, 6, 10), pytest.approx(90), pytest.approx(100))
    assert (found.station, found.station_elevation_m, found.seen_until) == ("Ford", 1000.0, None)


def test_a_higher_place_is_taken_to_be_cooler():
    """200 m up: 0.6 degC off the minima and 1.3 off the maxima, 3 and 6.5 degC for each km."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    _, found = trace(by_heat(opens=95), temperatures(record, elevation_m=(1200.0,)))
    assert found.higher_m == 200.0
    assert (found.cooler_tmin_degc, found.cooler_tmax_degc) == (pytest.approx(0.6), pytest.approx(1.3))


def test_what_was_seen_comes_first_and_the_years_go_on_from_there():
    """By 5 June 2027 five days had 50 degree-days; the other 45 take 4.5 more, as in every other year."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2027-06-05")
    _, found = trace(by_heat(opens=95), temperatures(record))
    assert found.seen_until == dt.date(2027, 6, 5)
    np.testing.assert_allclose(found.days[1], 160.5)
    assert found.example is None


def test_normals_give_the_heat_of_each_month_and_the_spread_behind_it():
    """20 degC all year: 10 degree-days on each of the 31, 28 ... days."""
    known = temperatures(normals_degc=20.0)
    windows, found = trace(by_heat(opens=95), known, dt.date(2027, 1, 15))
    assert found.years == ()
    np.testing.assert_allclose(
        found.month_heat, [310, 280, 310, 300, 310, 300, 310, 310, 300, 310, 300, 310], rtol=1e-9
    )
    assert len(found.spread_degc) == 0
    assert found.middle[1] == pytest.approx(9.5)
    assert str(windows.dates[1, 0]) == "2027-01-10"
    spread = temperatures(normals_degc=20.0, spread_degc=np.full(12, 3.0), spread_basis="Ford, 2015-2026")
    assert trace(by_heat(opens=95), spread, dt.date(2027, 1, 15))[1].spread_degc.tolist() == [3.0] * 12


def test_dates_that_do_not_come_from_the_heat_have_no_trace():
    table = by_heat(opens=95)
    unknown = temperatures()
    assert trace(table, unknown)[1] is None
