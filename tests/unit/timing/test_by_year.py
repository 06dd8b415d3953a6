import numpy as np

from geo_scout.timing.by_year import dates_by_year
from tests.weather_frames import from_day, heat, steady, temperatures, weather


def test_each_year_of_a_record_has_its_own_dates():
    record = weather({"Ford": lambda day: 20.0 if day.month >= 6 + day.year - 2024 else 0.0},
                     "2024-01-01", "2026-07-20")  # fmt: skip
    [found] = dates_by_year(heat(opens=95, closes=205), temperatures(record))
    assert found.years == (2024, 2025, 2026)
    assert found.dates[1].astype(str).tolist() == ["2024-06-10", "2025-07-10", "NaT"]
    assert found.dates[3].astype(str).tolist() == ["2024-06-21", "2025-07-21", "NaT"]
    assert np.isnat(found.dates[[0, 2]]).all()


def test_a_gap_hides_the_dates_after_it_and_no_others():
    record = weather(
        {"Ford": from_day("06-01", 20.0)}, "2024-01-01", "2025-12-31", without=("2025-03-01", "2024-06-15")
    )
    [found] = dates_by_year(heat(opens=95, closes=205), temperatures(record))
    assert found.dates[1].astype(str).tolist() == ["2024-06-10", "NaT"]
    assert np.isnat(found.dates[3]).all()


def test_places_come_in_their_order_each_with_its_station():
    record = weather({"A": steady(20.0), "B": steady(30.0)}, "2025-01-01", "2025-12-31")
    known = temperatures(record, elevation_m=(1000.0, 1000.0), station=np.array([1, 0]))
    found = dates_by_year(heat(opens=95), known)
    assert [str(one.dates[1, 0]) for one in found] == ["2025-01-05", "2025-01-10"]


def test_without_weather_there_are_no_years():
    assert dates_by_year(heat(opens=95), temperatures(normals_degc=20.0)) == ()
