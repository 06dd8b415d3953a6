"""By hand: 10 degree-days a day from 1 May of each year; the sum at the end of 3 May is 30."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.timing.learn import learn
from geo_scout.timing.stations import record_of
from tests.weather_frames import from_day, heat, weather

MODEL = heat().model()


def records(first="2023-01-01", last="2026-12-31", **stations):
    daily = weather(stations or {"Ford": from_day("05-01", 20.0)}, first, last)
    return {name: record_of(daily, name) for name in daily.stations.index}


def catches(*rows, station="Ford"):
    return pd.DataFrame(
        {
            "station": [row[2] if len(row) > 2 else station for row in rows],
            "date": pd.to_datetime([row[0] for row in rows]).astype("datetime64[s]"),
            "count": [float(row[1]) for row in rows],
        }
    )


EIGHT = [
    ("2023-05-10", 5), ("2023-05-12", 5), ("2023-05-14", 5),
    ("2024-05-11", 1), ("2024-05-13", 8), ("2024-05-15", 1),
    ("2025-05-20", 4), ("2025-05-22", 4),
]  # fmt: skip


def test_the_heat_is_that_at_the_end_of_each_day():
    found = learn(MODEL, records(), catches(("2024-05-03", 2), ("2024-05-01", 0), ("2024-04-30", 0)))
    assert found.catches["degree_days"].tolist() == [0.0, 10.0, 30.0]
    assert found.catches["heat_year"].tolist() == [2024] * 3


def test_below_eight_catches_they_are_only_listed():
    found = learn(MODEL, records(), catches(*EIGHT[:7], ("2025-05-30", 0)))
    assert not found.is_enough
    assert len(found.found) == 7
    assert np.isnan([found.least, found.middle, found.most]).all()
    assert found.seasons == ()


def test_range_and_middle_of_eight():
    """Heats 100 to 220. Half of a year's catch is in at 120, 130 and 200: the mean is 150."""
    found = learn(MODEL, records(), catches(*EIGHT))
    assert (found.least, found.middle, found.most) == (100.0, 150.0, 220.0)
    assert found.is_enough
    assert found.years == 3


def test_each_year_is_predicted_from_the_middles_of_the_others():
    """Half of the catch is in by 12 May (120), 13 May (130) and 20 May (200).

    2023 from (130 + 200) / 2 = 165: reached on the 17th day, 5 days late; 2024 from 160: the 16th, 3 days late;
    2025 from 125: the 13th, 7 days early.
    """
    found = learn(MODEL, records(), catches(*EIGHT))
    assert found.seasons == (("Ford", 2023), ("Ford", 2024), ("Ford", 2025))
    assert found.error_days.tolist() == [5.0, 3.0, -7.0]
    assert found.mean_error_days == 5.0


def test_the_middle_goes_by_the_numbers_caught():
    """Of 107 caught from 1 to 8 May, 100 are of 7 May, with 70 degree-days; the middle visit is of 4 or 5 May."""
    rows = [(f"2024-05-0{day}", 100 if day == 7 else 1) for day in range(1, 9)]
    assert learn(MODEL, records(), catches(*rows)).middle == 70.0


def test_one_year_predicts_nothing():
    found = learn(MODEL, records(), catches(*((f"2024-05-{day}", 1) for day in range(10, 18))))
    assert found.is_enough
    assert np.isnan(found.error_days).all()
    assert np.isnan(found.mean_error_days)


def test_catches_outside_the_weather_or_after_a_gap_have_no_known_heat():
    daily = weather({"Ford": from_day("05-01", 20.0)}, "2024-01-01", "2025-12-31", without=("2025-02-01",))
    found = learn(MODEL, {"Ford": record_of(daily, "Ford")},
                  catches(("2023-05-10", 1), ("2024-05-10", 1), ("2025-05-10", 1), ("2026-05-10", 1)))  # fmt: skip
    assert np.isnan(found.catches["degree_days"]).tolist() == [True, False, True, True]
    assert len(found.found) == 1


def test_each_catch_has_the_weather_of_its_station_and_no_year_predicts_itself_elsewhere():
    """Pass warms ten days later, so that its catches of 20 May have 100; both stations of a year are left out."""
    both = records(Ford=from_day("05-01", 20.0), Pass=from_day("05-11", 20.0))
    rows = [("2024-05-10", 1, "Ford")] * 2 + [("2024-05-20", 1, "Pass")] * 2
    rows += [("2025-05-12", 1, "Ford")] * 2 + [("2025-05-22", 1, "Pass")] * 2
    found = learn(MODEL, both, catches(*rows))
    assert found.found["degree_days"].tolist() == [100.0, 100.0, 120.0, 120.0] * 2
    assert found.seasons == (("Ford", 2024), ("Ford", 2025), ("Pass", 2024), ("Pass", 2025))
    assert found.error_days.tolist() == [2.0, -2.0, 2.0, -2.0]


def test_heat_in_fahrenheit_is_told_in_fahrenheit():
    model = heat(base=50.0, unit="degf").model()
    found = learn(model, records(), catches(("2024-05-03", 2)))
    assert found.catches["degree_days"].tolist() == pytest.approx([54.0])
