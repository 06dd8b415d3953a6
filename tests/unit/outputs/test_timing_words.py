import datetime as dt

import numpy as np
import pytest

from geo_scout.model.finding import Finding
from geo_scout.model.site_windows import YearlyDates
from geo_scout.model.timing import HeatWindow, HostStageWindow, WindowTable
from geo_scout.outputs.timing_words import (
    CAUTION,
    heat_words,
    shift_words,
    tell_agents,
    tell_windows,
    window_lines,
)
from geo_scout.season import read_shipped_profiles
from geo_scout.timing import site_windows
from tests.weather_frames import heat, temperatures, weather

AGENT = next(one for one in read_shipped_profiles() if one.name == "Aphthona lacertosa")
MAY = dt.date(2027, 5, 1)
TABLE = WindowTable(heat=heat(opens=95, closes=205), host_stage=HostStageWindow(opens="first flowers"))


def spring(day):
    """Return warmth from 1 to 11 June, a day later each year from 2016."""
    return 20.0 if (day.month, day.day) >= (6, day.year - 2015) else 0.0


@pytest.fixture(scope="module")
def windows():
    record = weather({"Ford": spring}, "2016-01-01", "2026-12-31")
    return site_windows(TABLE, temperatures(record, station=np.array([0])), MAY, 14)


def test_a_place_in_lines(windows):
    """The middle year is 2021, warm from 6 June; a degree is 1.06 days later or 0.86 earlier."""
    assert window_lines(windows, 0) == [
        "start scouting: 1 June 2027",
        "opens: 15 June 2027",
        "closes: 26 June 2027",
        "opens early in one year of ten: 11 June 2027; late: 19 June 2027",
        "1 degC cooler opens 1 day later, 1 degC warmer 1 day earlier",
        "from: 11 years of daily weather at Ford (1000 m), 2016-2026",
    ]


def test_an_opening_that_was_seen_has_no_early_and_late_and_no_what_if():
    record = weather({"Ford": spring}, "2016-01-01", "2027-07-20")
    seen = site_windows(TABLE, temperatures(record, station=np.array([0])), MAY, 14)
    assert window_lines(seen, 0) == [
        "start scouting: 7 June 2027",
        "opens: 21 June 2027",
        "closes: 2 July 2027",
        "from: daily weather at Ford (1000 m) to 2027-07-20, then the middle of 11 earlier years",
    ]


def test_the_whole_answer(windows):
    years = YearlyDates(
        (2016, 2017), np.array([["NaT"] * 2, ["2016-06-10", "NaT"], ["NaT"] * 2, ["NaT"] * 2], "M8[D]")
    )
    finding = Finding("weather-gaps", "caution", "weather", "", "a day is missing.", "find it.")
    told = tell_windows(AGENT, TABLE, ["Ford"], windows, [years], [finding])
    lines = told.splitlines()
    assert lines[0] == "Aphthona lacertosa on leafy spurge"
    assert lines[1] == "  heat above 10 degC, single sine, from 01-01"
    assert lines[3] == "Ford"
    assert "  year by year:\n          opens\n    2016  10 Jun\n    2017  -\n" in told
    assert "\nopens: first flowers\n" in told
    assert "\ncaution: layers.weather\n  a day is missing.\n  Fix: find it.\n" in told
    assert lines[-1] == CAUTION


def test_a_caution_of_the_profile_stands_before_everything(windows):
    asked = AGENT.model_copy(update={"caution": "ask the authority."})
    lines = tell_windows(asked, TABLE, ["Ford"], windows, [], []).splitlines()
    assert lines[:2] == ["Aphthona lacertosa on leafy spurge", "  STOP AND ASK: ask the authority."]


def test_years_without_any_date_make_no_table(windows):
    nothing = YearlyDates((2016,), np.full((4, 1), np.datetime64("NaT", "D")))
    assert "year by year" not in tell_windows(AGENT, TABLE, ["Ford"], windows, [nothing], [])


def test_an_unknown_window_says_so():
    nothing = site_windows(WindowTable(), temperatures(), MAY, 14)
    assert window_lines(nothing, 0) == ["window unknown", "note: the profile has no window"]


def test_heat_in_words_names_unit_cutoff_and_source():
    window = HeatWindow.model_validate(
        {
            "unit": "degf", "base": 50.0, "upper": 95.0, "method": "double_triangle", "cutoff": "intermediate",
            "start": "03-01", "source": "a leaflet",
        }
    )  # fmt: skip
    assert heat_words(window) == (
        "heat above 50 degF, intermediate cutoff at 95 degF, double triangle, from 03-01 (a leaflet)"
    )


@pytest.mark.parametrize(
    ("days", "words"),
    [(0.4, "on the same day"), (-0.6, "1 day earlier"), (1.0, "1 day later"), (-12.2, "12 days earlier")],
)
def test_shifts_in_words(days, words):
    assert shift_words(days) == words


def test_agents_are_listed_with_their_constants_and_what_nobody_published():
    told = tell_agents(read_shipped_profiles())
    assert (
        "Aphthona lacertosa on leafy spurge\n  heat above 7.5 degC, single sine, from 01-01 (Skinner" in told
    )
    assert "    opens: 326 degree-days (first adults, Skinner et al. 2004)\n" in told
    assert "    closes: no published value found\n" in told
    assert (
        "\n  heat window: no published value found\n  calendar window: no published value found\n  lower threshold"
        in told
    )
    assert (
        "Diorhabda carinulata on saltcedar\n  STOP AND ASK: in the United States permits to move it" in told
    )
    assert told.count("STOP AND ASK") == 1
    assert "  rests below 14.65 hours of daylight (14 h 39 min in the field: Bean" in told
    assert "  lower threshold of development: 12.5 degC (Lewis et al. 2003" in told
    assert "No citable degree-day constants were found for Hadroplontus, Chrysolina," in told
