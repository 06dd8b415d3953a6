import datetime as dt

import numpy as np
import pytest

from geo_scout.timing.stations import record_of, station_groups
from tests.weather_frames import steady, temperatures, weather


def test_a_record_has_a_row_for_every_date_and_says_its_span():
    record = record_of(
        weather({"Ford": steady(5.0)}, "2025-12-30", "2026-01-03", without=("2026-01-01",)), "Ford"
    )
    assert record.first_day == dt.date(2025, 12, 30)
    assert record.last_day == dt.date(2026, 1, 3)
    assert record.years == "2025-2026"
    assert np.isnan(record.tmin_degc).tolist() == [False, False, True, False, False]


def test_days_with_one_temperature_at_either_end_are_no_part_of_it():
    daily = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-05")
    daily.days.loc[[0, 4], "tmax_degc"] = np.nan
    record = record_of(daily, "Ford")
    assert (record.first_day, record.last_day, record.years) == (
        dt.date(2026, 1, 2),
        dt.date(2026, 1, 4),
        "2026",
    )


def test_a_station_without_a_day_is_refused():
    daily = weather({"Ford": steady(np.nan)}, "2026-01-01", "2026-01-05")
    with pytest.raises(ValueError, match="'Ford' has no day with both temperatures"):
        record_of(daily, "Ford")


def test_minimum_and_maximum_fall_each_by_its_own_rate_and_never_cross():
    """500 m up at 3 and 7 degC per km: 1.5 and 3.5 degC colder; 8.5 and 6.5 of a day without any range cross, and become 7.5."""
    record = record_of(weather({"Ford": steady(10.0)}, "2026-01-01", "2026-01-02"), "Ford")
    low, high = record.at(np.array([1500.0, 1000.0, np.nan]), 3.0, 7.0)
    assert low[0].tolist() == [7.5, 10.0, 10.0]
    assert high[0].tolist() == [7.5, 10.0, 10.0]


def test_half_a_metre_makes_no_difference():
    record = record_of(weather({"Ford": steady(10.0)}, "2026-01-01", "2026-01-02"), "Ford")
    assert record.higher_m(np.array([1000.4, 1000.6, np.nan])).tolist() == [0.0, 1.0, 0.0]


def test_places_are_grouped_by_station_and_an_idle_station_has_none():
    daily = weather({"A": steady(5.0), "B": steady(5.0)}, "2026-01-01", "2026-01-02")
    known = temperatures(daily, elevation_m=(1.0, 2.0, 3.0), station=np.array([1, 1, 1]))
    [(places, record, far_km)] = station_groups(known)
    assert (places.tolist(), record.name) == ([0, 1, 2], "B")
    assert np.isnan(far_km).all()
    [(everywhere, nothing, _)] = station_groups(temperatures(elevation_m=(1.0, 2.0)))
    assert (everywhere.tolist(), nothing) == ([0, 1], None)
