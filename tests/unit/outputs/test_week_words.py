"""The page as it prints, from rows written by hand."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.finding import Finding
from geo_scout.model.week_page import WEEK_COLUMNS, WeatherFile, WeekPage
from geo_scout.outputs.timing_words import CAUTION
from geo_scout.outputs.week_words import tell_week
from tests.reading_seasons import season_of

AGENT = "agent of ashthorn"
MONDAY = dt.date(2027, 6, 7)
NOW = WeatherFile("june.csv", "0123456789abcdef" * 4, dt.date(2027, 6, 6))
LAST = WeatherFile("may.csv", "f" * 64, dt.date(2027, 5, 30))


def row(site, rank=1, opens="2027-06-10", closes="2027-07-05", **changes):
    given = {
        "rank": rank, "site_id": site, "name": "", "crew": "Yard", "permission": "yes", "codes": "",
        "kind": "degree-days", "this_week": "", "next_week": "", "scout": "NaT", "opens": opens, "peaks": "NaT",
        "closes": closes, "opens_moved_days": np.nan, "closes_moved_days": np.nan, "note": "", "latest_result": "found on 2026-06-03",
    }  # fmt: skip
    return {**given, **changes}


def rows(*given):
    table = pd.DataFrame(list(given), columns=list(WEEK_COLUMNS)).astype({"rank": "Int64"})
    for moment in ("scout", "opens", "peaks", "closes"):
        table[moment] = np.array(table[moment].tolist(), dtype="datetime64[D]").astype("datetime64[s]")
    return table


@pytest.fixture
def told(tmp_path):
    """Return a function that tells the page of one agent in lines."""
    season = season_of(tmp_path, {"infestations": {"path": "weeds.gpkg"}})

    def tell(sources=(), sites=(), words=("", "", "", ""), receptive=("", "", "", ""), **given):
        page = WeekPage(
            season=season,
            day=MONDAY,
            monday=MONDAY,
            weather=NOW,
            before=given.pop("before", LAST),
            sources={AGENT: rows(*sources)},
            release_sites={AGENT: rows(*sites)},
            words={(AGENT, "source"): words, (AGENT, "release"): receptive},
            findings=given.pop("findings", ()),
            **given,
        )
        return tell_week(page).splitlines()

    return tell


def test_the_head_names_week_files_digests_and_plan(told):
    lines = told(questions=("STOP AND ASK: beetle.",), cautions=("2027-06-07 lies far outside the season.",))
    assert lines[1:7] == [
        "Week of Monday 7 June 2027 and the week after",
        "Weather: june.csv to Sunday 6 June 2027 (sha256 0123456789ab).",
        "Compared with may.csv to Sunday 30 May 2027 (sha256 ffffffffffff).",
        "Ranks are those of the plan of 1 November 2026.",
        "2027-06-07 lies far outside the season.",
        "STOP AND ASK: beetle.",
    ]
    assert lines[-1] == CAUTION


def test_without_weather_before_that_is_said(told):
    assert (
        "Compared with nothing: no earlier run is on record. Run the season, or name the last file with "
        "--before, to see what changed." in told(before=None)
    )


def test_a_run_on_record_is_what_dates_are_compared_with(told):
    day = dt.date(2026, 11, 1)
    lines = told(last_run=day, sources=[row("A-1", opens_moved_days=0.0)])
    assert lines[3] == (
        "Compared with the last run, of 1 November 2026, by may.csv to Sunday 30 May 2027 (sha256 "
        "ffffffffffff)."
    )
    assert "  since the last run: no opening moved" in lines
    without = told(last_run=day, before=None)
    assert without[3] == "Compared with the last run, of 1 November 2026, by no daily weather."


def test_a_window_open_for_both_weeks_says_when_it_closes(told):
    open_long = row("A-1", this_week="open", next_week="open", name="Mill bank", closes="2027-07-05")
    assert "        Mill bank; Yard; closes about 5 July 2027" in told(sources=[open_long])
    closing = row("A-1", this_week="open", next_week="open, closes 25 June", closes="2027-06-25")
    assert "        Yard" in told(sources=[closing])


def test_a_last_visit_that_found_nothing_is_said(told):
    lost = row("A-1", this_week="open", next_week="open", latest_result="not found on 2026-07-13")
    assert "        not found on 2026-07-13" in told(sources=[lost])


def test_sources_with_something_to_do_are_listed_best_first_with_what_a_crew_needs(told):
    lines = told(
        sources=[
            row("A-1", 1, this_week="opens 10 June", next_week="open", name="Mill bank", opens_moved_days=-3.0,
                closes_moved_days=1.0),
            row("A-2", 2, next_week="opens 15 June", permission="unknown", note="the station is 63 km away"),
        ],
        words=("", "first flowers", "", ""),
    )  # fmt: skip
    start = lines.index(f"COLLECT {AGENT}: 2 ranked sources, best first")
    assert lines[start + 1 : start + 10] == [
        "  rank  site            this week                           next week",
        "     1  A-1             opens 10 June                       open",
        "        Mill bank; Yard; closes about 5 July 2027",
        "        moved: opens 3 days earlier, closes 1 day later",
        "     2  A-2             -                                   opens 15 June",
        "        Yard; permission unknown: call first; closes about 5 July 2027",
        "        the station is 63 km away",
        "  look for: opens: first flowers",
        "  since the last weather: openings moved, 3 days earlier; middle 3 days earlier",
    ]
    assert max(len(line) for line in lines[start : start + 10]) <= 80


def test_what_becomes_of_the_others_is_summed_up(told):
    lines = told(
        sources=[
            row("A-1", 1, "2027-07-20"),
            row("A-2", 2, "2027-06-28"),
            row("A-3", 3, "2027-05-01", "2027-05-30"),
            row("A-4", 4, "NaT", "NaT", note="does not open: 380 degree-days (degC) are not reached"),
        ]
    )
    assert "  later: 2 sources, first to open A-2 on 28 June 2027" in lines
    assert "  over: 1 source" in lines
    assert "  without a date: 1 source (does not open: 380 degree-days (degC) are not reached)" in lines


def test_sources_left_out_are_named_only_in_their_window(told):
    lines = told(
        sources=[
            row("A-1", 1, this_week="open"),
            row("B-1", pd.NA, codes="treated", this_week="open"),
            row("B-2", pd.NA, codes="too-small"),
        ]
    )
    assert "  left out of the plan, but in their window: B-1 (treated)" in lines


def test_no_move_is_said_and_a_calendar_never_moves(told):
    assert "  since the last weather: no opening moved" in told(sources=[row("A-1", opens_moved_days=0.0)])
    lines = told(sources=[row("A-1", kind="calendar", opens_moved_days=0.0)])
    assert not any("since the last weather" in line for line in lines)


def test_openings_that_moved_by_different_days_are_told_as_a_span(told):
    moved = [row(f"A-{n}", n, opens_moved_days=days) for n, days in enumerate((-4.0, -2.0, 1.0), 1)]
    assert (
        "  since the last weather: openings moved, from 4 days earlier to 1 day later; middle 2 days earlier"
        in told(moved)
    )


def test_release_sites_are_counted_by_week(told):
    """Open from before Sunday to Monday or later; the second opens next week, the third has closed."""
    sites = [
        row("R-1", 1, "2027-05-20", "2027-06-07"),
        row("R-2", 2, "2027-06-16", "2027-07-10"),
        row("R-3", 3, "2027-04-20", "2027-06-06"),
        row("R-4", 4, "2027-06-25", "NaT"),
        row("R-5", 5, "NaT", "NaT"),
    ]
    lines = told(sites=sites, receptive=("", "rosettes", "", ""))
    start = lines.index(f"RELEASE {AGENT}: 5 ranked sites")
    assert lines[start + 1 : start + 7] == [
        "  can receive this week: 1 of 5: R-1",
        "  can receive next week: 1 of 5: R-2",
        "  later: 1, on 25 June 2027",
        "  the first closes on 7 June 2027",
        "  without a date: 1",
        "  look for: opens: rosettes",
    ]


def test_sites_without_any_date_say_so(told):
    lines = told(sites=[row("R-1", 1, "NaT", "NaT")], receptive=("", "rosettes", "", ""))
    assert f"RELEASE {AGENT}: 1 ranked site; no dates are known from which they can receive" in lines
    assert "  look for: opens: rosettes" in lines


def test_more_than_five_are_counted(told):
    sites = [row(f"R-{n}", n, "2027-05-20") for n in range(1, 9)]
    assert "  can receive this week: 8 of 8: R-1, R-2, R-3, R-4, R-5 and 3 more" in told(sites=sites)


def test_what_was_noticed_in_the_weather_is_said(told):
    lines = told(
        findings=(Finding("weather-gaps", "caution", "weather", "", "2 days are missing.", "find them."),)
    )
    assert lines[-4:-1] == ["In the weather files:", "- 2 days are missing.", ""]
