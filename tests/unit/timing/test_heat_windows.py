"""Hand arithmetic: at 20 degC all day above a base of 10 degC, a day has 10 degree-days."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.timing.heat_windows import heat_windows
from tests.weather_frames import from_day, heat, steady, temperatures, weather

AS_OF, WINTER = dt.date(2027, 5, 1), dt.date(2027, 1, 15)


def dates(found, place=0):
    return [None if np.isnat(day) else str(day) for day in found.dates[:, place]]


def test_ten_years_give_the_middle_day_and_scouting_comes_before_it():
    """95 degree-days are 9.5 days after 1 June; 205 are 20.5; the sums fall within 10 and 21 June."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    found = heat_windows(heat(opens=95, peaks=205), temperatures(record), AS_OF, 14)
    assert dates(found) == ["2027-05-27", "2027-06-10", "2027-06-21", None]
    assert (str(found.early[0]), str(found.late[0])) == ("2027-06-10", "2027-06-10")
    assert found.basis[0] == (
        "12 years of daily weather at Ford (1000 m, tmin 3 and tmax 6.5 degC colder per km up), 2015-2026"
    )
    assert found.note[0] == ""


def test_a_leap_year_does_not_move_a_date_after_february():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    found = heat_windows(heat(opens=95), temperatures(record), dt.date(2028, 5, 1), 14)
    assert dates(found)[1] == "2028-06-10"


def test_early_and_late_are_the_days_in_one_and_nine_years_of_ten():
    """Spring comes on 1 to 11 June in eleven years: the second and the tenth of them are one and nine in ten."""
    record = weather({"Ford": lambda day: 20.0 if (day.month, day.day) >= (6, day.year - 2015) else 0.0},
                     "2016-01-01", "2026-12-31")  # fmt: skip
    found = heat_windows(heat(opens=5), temperatures(record), AS_OF, 14)
    assert dates(found)[1] == "2027-06-06"
    assert (str(found.early[0]), str(found.late[0])) == ("2027-06-02", "2027-06-10")


def test_this_season_is_used_to_its_last_day_and_other_years_after_it():
    """By 20 May 2027 there were 20 warm days, 200 degree-days; other years go on at 10 a day from 1 June."""
    record = weather(
        {"Ford": lambda day: from_day("05-01" if day.year == 2027 else "06-01", 20.0)(day)},
        "2015-01-01",
        "2027-05-20",
    )
    found = heat_windows(heat(opens=95, peaks=245), temperatures(record), AS_OF, 14)
    assert dates(found) == ["2027-04-26", "2027-05-10", "2027-06-05", None]
    assert str(found.early[0]) == str(found.late[0]) == "2027-05-10"
    assert found.basis[0].endswith("to 2027-05-20, then the middle of 12 earlier years")


def test_what_was_seen_does_not_run_warm_or_cool():
    """After 5 warm days of 10 there are 45 left: 4.5 days at 10 a day, 5 at 9, 4.09 at 11."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2027-06-05")
    found = heat_windows(heat(opens=95), temperatures(record), AS_OF, 14)
    assert dates(found)[1] == "2027-06-10"
    assert found.cool_shift_days[0] == pytest.approx(0.5)
    assert found.warm_shift_days[0] == pytest.approx(45 / 11 - 4.5)
    seen = heat_windows(heat(opens=45), temperatures(record), AS_OF, 14)
    assert (seen.cool_shift_days[0], seen.warm_shift_days[0]) == (0.0, 0.0)


def test_normals_alone_are_called_late():
    found = heat_windows(heat(opens=95), temperatures(normals_degc=20.0), WINTER, 14)
    assert dates(found)[:2] == ["2026-12-27", "2027-01-10"]
    assert found.basis[0] == "normals 1991-2020 (late-biased: normals only)"


def test_the_spread_of_days_brings_normals_forward_and_is_said():
    """At the base itself half of the days are warm. The nine nodes z (Abramowitz & Stegun table 25.10, times the
    root of 2) give 3 (1.02326 x 0.24410 + 2.07685 x 0.04992 + 3.20543 x 0.00279 + 4.51275 x 0.00002) = 1.0875
    degree-days a day at a spread of 3 degC: 22 after 20.2 days.
    """
    known = temperatures(normals_degc=10.0, spread_degc=np.full(12, 3.0), spread_basis="Ford, 2015-2026")
    found = heat_windows(heat(opens=22.0), known, WINTER, 14)
    assert dates(found)[1] == "2027-01-21"
    assert found.basis[0] == "normals 1991-2020, corrected for the spread of days (Ford, 2015-2026)"
    without = heat_windows(heat(opens=1.0), temperatures(normals_degc=10.0), WINTER, 14)
    assert dates(without)[1] is None
    assert without.note[0] == "does not open: 1 degree-days (degC) are not reached"


def test_this_season_then_normals_where_there_are_too_few_years():
    """20 days seen at 20 degC give 200; normals of 15 degC give 5 a day: 245 after nine more days."""
    record = weather({"Ford": steady(20.0)}, "2027-01-01", "2027-01-20")
    found = heat_windows(heat(opens=244), temperatures(record, normals_degc=15.0), WINTER, 14)
    assert dates(found)[1] == "2027-01-29"
    assert found.basis[0].endswith("to 2027-01-20, then normals 1991-2020 (late-biased: normals only)")
    assert np.isnat(found.early[0])


def test_few_years_beside_normals_do_not_decide_and_that_is_said():
    """Normals of 20 degC give 10 a day from 1 January: 95 on the tenth day. The years give 10 June."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2024-01-01", "2026-10-31")
    found = heat_windows(heat(opens=95), temperatures(record, normals_degc=20.0), WINTER, 14)
    assert dates(found)[1] == "2027-01-10"
    assert found.basis[0] == (
        "normals 1991-2020 (late-biased: normals only); the 3 whole years of daily weather at Ford are fewer "
        "than 10 and do not decide"
    )


def test_few_years_must_do_where_there_are_no_normals():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2024-01-01", "2026-12-31")
    found = heat_windows(heat(opens=95), temperatures(record), AS_OF, 14)
    assert dates(found)[1] == "2027-06-10"
    assert found.basis[0].startswith("only 3 whole years of daily weather at Ford")
    assert np.isnat(found.early[0])


def test_nothing_after_the_last_day_is_said():
    record = weather({"Ford": steady(20.0)}, "2027-01-01", "2027-01-20")
    found = heat_windows(heat(opens=95, peaks=300), temperatures(record), WINTER, 14)
    assert dates(found) == ["2026-12-27", "2027-01-10", None, None]
    assert found.known[:, 0].tolist() == [True, True, False, False]
    assert found.basis[0].endswith("to 2027-01-20, nothing after it")


def test_a_gap_in_this_season_leaves_other_years_to_decide():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2027-06-05", without=("2027-03-03",))
    found = heat_windows(heat(opens=95), temperatures(record), AS_OF, 14)
    assert dates(found)[1] == "2027-06-10"
    assert found.basis[0].startswith("12 years")
    assert found.note[0] == "Ford has no temperatures on 2027-03-03, so this season's weather is not used"


def test_a_gap_after_the_opening_keeps_the_opening():
    record = weather({"Ford": steady(20.0)}, "2015-01-01", "2027-03-01", without=("2027-02-01",))
    found = heat_windows(heat(opens=95, peaks=500), temperatures(record), WINTER, 14)
    assert dates(found)[1:3] == ["2027-01-10", None]
    assert found.note[0] == "Ford has no temperatures on 2027-02-01, so later dates are not known"
    early = heat_windows(heat(opens=95), temperatures(record), WINTER, 14)
    assert early.note[0] == ""


def test_a_record_that_begins_in_mid_season_is_not_used_and_said():
    record = weather({"Ford": steady(20.0)}, "2027-03-15", "2027-04-20")
    found = heat_windows(heat(opens=95), temperatures(record, normals_degc=20.0), WINTER, 14)
    assert dates(found)[1] == "2027-01-10"
    assert found.note[0] == (
        "the weather of Ford begins on 2027-03-15, after heat begins to count on 2027-01-01, and is not used"
    )
    alone = heat_windows(heat(opens=95), temperatures(record), WINTER, 14)
    assert not alone.known.any()
    assert alone.note[0] == (
        "the weather of Ford, 2027-03-15 to 2027-04-20, does not hold the day from which heat counts, 01-01"
    )


def test_a_record_with_gaps_everywhere_gives_no_date_and_says_so():
    record = weather({"Ford": steady(20.0)}, "2025-01-01", "2025-12-31", without=("2025-01-02",))
    found = heat_windows(heat(opens=95), temperatures(record), AS_OF, 14)
    assert (
        found.note[0]
        == "the weather of Ford, 2025-01-01 to 2025-12-31, has a gap or ends before a heat sum is reached"
    )


def test_heat_counted_from_july_crosses_new_year():
    """Southern summer: 20 degC from 1 January; 95 degree-days by 10 January of the season that began in July."""
    record = weather({"Ford": lambda day: 20.0 if day.month < 7 else 0.0}, "2014-07-01", "2026-06-30")
    found = heat_windows(heat("07-01", opens=95), temperatures(record), dt.date(2026, 11, 1), 14)
    assert dates(found)[:2] == ["2026-12-27", "2027-01-10"]
    later = heat_windows(heat("07-01", opens=95), temperatures(record), dt.date(2027, 4, 1), 14)
    assert dates(later)[:2] == ["2027-12-27", "2028-01-10"]


def test_a_window_long_past_is_that_of_the_next_year():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    known = temperatures(record)
    assert dates(heat_windows(heat(opens=95), known, dt.date(2027, 8, 9), 14))[1] == "2027-06-10"
    assert dates(heat_windows(heat(opens=95), known, dt.date(2027, 8, 10), 14))[1] == "2028-06-10"


def test_a_sum_in_fahrenheit_is_told_in_fahrenheit():
    """50 degF is 10 degC; 171 degree-days of degF are 95 of degC."""
    window = heat(base=50.0, unit="degf", opens=171, closes=9000)
    found = heat_windows(window, temperatures(normals_degc=20.0), WINTER, 14)
    assert dates(found)[1] == "2027-01-10"
    assert found.note[0] == "does not close: 9000 degree-days (degF) are not reached"


def test_higher_places_wait_longer_by_the_stated_lapse():
    """At 5 degC per km, 500 m up it is 17.5 degC: 7.5 a day, 95 in 12.67 days; at 999.6 m no different from 1000 m."""
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    known = temperatures(
        record, elevation_m=(1000.0, 1500.0, np.nan, 999.6), tmin_degc_per_km=5.0, tmax_degc_per_km=5.0
    )
    found = heat_windows(heat(opens=95), known, AS_OF, 14)
    assert [dates(found, place)[1] for place in range(4)] == [
        "2027-06-10",
        "2027-06-13",
        "2027-06-10",
        "2027-06-10",
    ]


def test_each_place_has_the_weather_of_its_nearest_station_and_a_far_one_is_said():
    """One degree of latitude is 111 km: the nearest station is 55.6 km off half-way up."""
    places = {"South": (-110.0, 46.0, 1000.0), "North": (-110.0, 48.2, 1000.0)}
    record = weather({"South": from_day("05-01", 20.0), "North": from_day("07-01", 20.0)},
                     "2015-01-01", "2026-12-31", places=places)  # fmt: skip
    known = temperatures(record, elevation_m=(1000.0, 1000.0))
    known.latitude_deg[:] = (46.5, 48.1)
    found = heat_windows(heat(opens=95), known, AS_OF, 14)
    assert [dates(found, place)[1] for place in (0, 1)] == ["2027-05-10", "2027-07-10"]
    assert found.note.tolist() == ["the station is 56 km away", ""]


def test_many_places_get_the_same_answers_as_each_alone():
    record = weather({"Ford": from_day("05-01", 15.0)}, "2015-01-01", "2026-12-31")
    heights = tuple(float(height) for height in np.linspace(200.0, 1800.0, 400))
    together = heat_windows(heat(opens=95), temperatures(record, elevation_m=heights), AS_OF, 14)
    for place in (0, 57, 399):
        alone = heat_windows(heat(opens=95), temperatures(record, elevation_m=(heights[place],)), AS_OF, 14)
        assert dates(together, place) == dates(alone)
        assert together.warm_shift_days[place] == alone.warm_shift_days[0]
        assert together.basis[place] == alone.basis[0]


def test_without_temperatures_nothing_is_known():
    found = heat_windows(heat(opens=95), temperatures(), AS_OF, 14)
    assert not found.known.any()
    assert (found.basis[0], found.note[0]) == ("", "no temperatures for the heat sums here")
