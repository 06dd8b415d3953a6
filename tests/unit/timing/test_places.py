import datetime as dt

import numpy as np
import pytest

from geo_scout.timing.places import at_stations, spread_of
from geo_scout.timing.windows import site_windows
from tests.weather_frames import by_heat, from_day, normals, steady, weather


def test_each_station_answers_for_itself_also_without_a_place():
    nowhere = (np.nan, np.nan, np.nan)
    daily = weather({"A": from_day("06-01", 20.0), "B": from_day("07-01", 20.0)}, "2015-01-01", "2026-12-31",
                    places={"A": nowhere, "B": nowhere})  # fmt: skip
    found = site_windows(by_heat(opens=95), at_stations(daily), dt.date(2027, 5, 1), 14)
    assert found.dates[1].astype(str).tolist() == ["2027-06-10", "2027-07-10"]
    assert found.basis.tolist() == [f"12 years of daily weather at {name}, 2015-2026" for name in "AB"]


def test_another_elevation_is_asked_about():
    """500 m up, a day steady at 20 degC is 18.5 at night and 16.75 by day: both become their mean."""
    daily = weather({"A": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    known = at_stations(daily, elevation_m=1500.0)
    assert known.elevation_m.tolist() == [1500.0]
    found = site_windows(by_heat(opens=95), known, dt.date(2027, 5, 1), 14)
    # Mean (18.5 + 16.75) / 2 = 17.625 degC, all above the base: 7.625 a day, 95 in 12.5 days.
    assert str(found.dates[1, 0]) == "2027-06-13"


def test_normals_fall_by_their_own_rates_and_say_so():
    """1 km up at the default rates: 3 degC off the minimum of 10, 6.5 off the maximum of 20."""
    found = at_stations(normals(), elevation_m=2000.0)
    assert found.tmin_degc[0].tolist() == [7.0]
    assert found.tmax_degc[0].tolist() == [13.5]
    assert found.normals_basis == "normals of 1991-2020, tmin 3 and tmax 6.5 degC colder per km up"


def test_normals_name_their_period_or_say_that_nobody_knows_it():
    assert at_stations(normals()).normals_basis == "normals of 1991-2020"
    unknown = normals()
    object.__setattr__(unknown, "period", "")
    assert at_stations(unknown).normals_basis == "normals of an unknown period"


def test_the_spread_comes_from_the_first_station_that_has_every_month():
    """Days at 0 and 10 degC in turn: an even number n of them has the deviation 5 sqrt(n / (n - 1))."""
    daily = weather(
        {"Short": steady(5.0), "Long": lambda day: 10.0 * (day.toordinal() % 2)}, "2024-01-01", "2025-12-31"
    )
    short = (daily.days["station"] == "Short") & (daily.days["date"] > "2024-06-30")
    cut = type(daily)(daily.stations, daily.days[~short])
    spread, basis = spread_of(cut)
    assert basis == "Long, 2024-2025"
    # April has 60 days in two years.
    assert spread[3] == pytest.approx(5 * np.sqrt(60 / 59))


def test_half_a_year_has_no_spread():
    assert spread_of(weather({"A": steady(5.0)}, "2026-01-01", "2026-06-30")) == (None, "")
