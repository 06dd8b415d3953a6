"""A week by hand, on the tiny season: its only source, Elm hollow, lies at 1,330 m, and so does the station.

Other years are at 20 degC from 1 June on: 10 degree-days a day above 10 degC, so that a window from 145 to 245
opens on 15 June and closes on 25 June. In 2027 it is warm from 21 May on.
"""

import datetime as dt
import hashlib
import importlib.util
import re
import shutil
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from geo_scout.errors import InputMistakes
from geo_scout.pipeline import run, week_page

AGENT = "tiny weevil"
TIMING = """
[timing.collecting.heat]
unit = "degc"
base = {value = 10, source = "invented"}
method = "single_sine"
start = "01-01"
sums = {opens = 145, closes = 245}

[timing.collecting.host_stage]
opens = "first flowers"

[timing.receptive.calendar]
opens = "06-01"
closes = "06-20"
"""
LAYER = """
[layers.weather]
path = "weather.csv"
"""


def write_tiny_season(folder):
    path = Path(__file__).parents[1] / "tiny_season" / "conftest.py"
    spec = importlib.util.spec_from_file_location("tiny_season_files", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.write_tiny_season(folder)


def write_weather(path, first, last, warm_from, **place):
    days = pd.date_range(first, last)
    warm = np.where(days.strftime("%m-%d") >= warm_from, 20.0, 0.0)
    table = pd.DataFrame({"date": days.strftime("%Y-%m-%d"), "tmin": warm, "tmax": warm})
    table.assign(**place).to_csv(path, index=False)
    return path


FORD = {"station": "Ford", "longitude_deg": -111.0, "latitude_deg": 47.0, "elevation_m": 1330.0}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("week")
    season = write_tiny_season(folder)
    season.write_text(season.read_text(encoding="utf-8") + LAYER, encoding="utf-8")
    profile = folder / "agents" / "weevil.toml"
    profile.write_text(profile.read_text(encoding="utf-8") + TIMING, encoding="utf-8")
    write_weather(folder / "weather.csv", "2015-01-01", "2026-10-31", "06-01", **FORD)
    write_weather(folder / "may.csv", "2027-01-01", "2027-05-30", "05-21")
    run(season)
    return folder


@pytest.fixture(scope="module")
def page(folder):
    return week_page(folder / "season.toml", folder / "may.csv")


def only(page):
    """Return the row of the only source."""
    [row] = page.sources[AGENT].itertuples(index=False)
    return row


def test_the_week_is_that_of_the_day_after_the_last_one_of_the_weather(page):
    assert page.day == page.monday == dt.date(2027, 5, 31)
    assert page.cautions == ()


def test_the_source_opens_by_the_days_seen_and_then_as_in_other_years(page):
    """100 degree-days by 30 May; 45 more take until noon of 5 June, 145 more until noon of 15 June."""
    row = only(page)
    assert row.site_id == "TINY-5"
    assert (row.this_week, row.next_week) == ("scout, opens 5 June", "open")
    assert [str(day.date()) for day in (row.scout, row.opens, row.closes)] == [
        "2027-05-22",
        "2027-06-05",
        "2027-06-15",
    ]


def test_what_moved_is_against_the_dates_that_the_last_run_wrote(page):
    assert page.last_run == dt.date(2026, 11, 1)
    assert (only(page).opens_moved_days, only(page).closes_moved_days) == (-10.0, -10.0)


def test_both_weather_files_are_named_with_their_digests_and_last_days(page, folder):
    for file, name, last in (
        (page.weather, "may.csv", (2027, 5, 30)),
        (page.before, "weather.csv", (2026, 10, 31)),
    ):
        assert file.sha256 == hashlib.sha256((folder / name).read_bytes()).hexdigest()
        assert file.last_day == dt.date(*last)
    assert page.before.name == "weather.csv"


def test_release_sites_have_their_own_window(page):
    """1 June falls into this week; 20 June is the last day of the week after the next."""
    rows = page.release_sites[AGENT]
    assert len(rows) > 0
    assert set(rows["this_week"]) == {"scout, opens 1 June"}
    assert set(rows["next_week"]) == {"open"}
    assert page.words[AGENT, "source"] == ("", "first flowers", "", "")


def test_a_day_may_be_asked_for_and_later_weather_is_then_unknown(folder):
    """By 24 May there are four warm days, 40 degree-days: 105 more take until noon of 11 June."""
    page = week_page(folder / "season.toml", folder / "may.csv", on=dt.date(2027, 5, 24))
    assert page.weather.last_day == dt.date(2027, 5, 24)
    assert str(only(page).opens.date()) == "2027-06-11"
    assert [one.code for one in page.findings] == ["weather-future"]


def test_the_last_weather_file_may_be_named(folder):
    write_weather(folder / "early.csv", "2027-01-01", "2027-05-23", "05-21", **FORD)
    page = week_page(folder / "season.toml", folder / "may.csv", before=folder / "early.csv")
    assert page.before.last_day == dt.date(2027, 5, 23)
    # By 23 May 30 degree-days were seen; 115 more take until noon of 12 June, a week after 5 June.
    assert only(page).opens_moved_days == -7.0


def test_the_record_holds_though_the_weather_layer_has_gone_on_since(folder, tmp_path):
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    write_weather(copy / "weather.csv", "2015-01-01", "2026-10-31", "05-26", **FORD)
    page = week_page(copy / "season.toml", copy / "may.csv")
    # 100 degree-days by 30 May and 45 more from 31 May on: noon of 4 June. The run wrote 15 June.
    assert only(page).opens_moved_days == -11.0
    assert page.before.sha256 != hashlib.sha256((copy / "weather.csv").read_bytes()).hexdigest()


@pytest.mark.parametrize("damage", ["gone", "foreign", "cut short", "no dates"])
def test_without_a_record_nothing_is_compared(folder, tmp_path, damage):
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    outputs = copy / "outputs"
    if damage == "gone":
        shutil.rmtree(outputs)
    elif damage == "foreign":
        (outputs / "manifest.json").write_text('{"as_of": "2026-11-01"}', encoding="utf-8")
    elif damage == "cut short":
        (outputs / "manifest.json").write_text('{"written_by": "geo_sc', encoding="utf-8")
    else:
        (outputs / "sources.csv").write_text("agent,site_id\nweevil,A-1\n", encoding="utf-8")
    page = week_page(copy / "season.toml", copy / "may.csv")
    assert (page.last_run, page.before) == (None, None)
    assert np.isnan(only(page).opens_moved_days)


def test_a_page_far_from_the_season_says_so(folder):
    write_weather(folder / "winter.csv", "2027-01-01", "2027-01-31", "05-21", **FORD)
    page = week_page(folder / "season.toml", folder / "winter.csv")
    assert page.cautions == ("2027-02-01 lies far outside the season, 2027-05-01 to 2027-09-15.",)
    # Other years decide: the dates are the season's.
    assert str(only(page).opens.date()) == "2027-06-15"


@pytest.mark.parametrize("name", ["FORD ", "Elsewhere"])
def test_the_station_under_another_spelling_or_name_at_its_spot_is_the_same(folder, page, name):
    write_weather(folder / "named.csv", "2027-01-01", "2027-05-30", "05-21", **(FORD | {"station": name}))
    named = week_page(folder / "season.toml", folder / "named.csv")
    assert only(named).opens == only(page).opens
    assert named.cautions == (f"Station {name.strip()} of the weather file is taken for Ford.",)


def test_a_station_that_the_season_does_not_know_is_named_and_so_is_the_one_that_dates_rest_on(folder):
    """31 October 2026 to 31 May 2027 are 212 days; Mill is 0.3 degrees further off than Ford."""
    mill = FORD | {"station": "Mill", "longitude_deg": -111.3}
    write_weather(folder / "mill.csv", "2027-01-01", "2027-05-30", "05-21", **mill)
    page = week_page(folder / "season.toml", folder / "mill.csv")
    assert str(only(page).opens.date()) == "2027-06-15"
    strange, stale = page.cautions
    assert strange.startswith("Mill is in the weather file and not in the season's weather, which has Ford:")
    assert stale.startswith(
        "The weather of Ford ends on 2026-10-31, 212 days before this page, and the weather file has no day of it;"
    )


def test_a_station_that_has_moved_is_said(folder):
    moved = FORD | {"latitude_deg": 46.9}
    write_weather(folder / "moved.csv", "2027-01-01", "2027-05-30", "05-21", **moved)
    page = week_page(folder / "season.toml", folder / "moved.csv")
    assert page.cautions == (
        "Ford stands elsewhere in the weather file than in the season's weather: check it.",
    )


@pytest.mark.parametrize(("day", "is_said"), [((2027, 6, 9), False), ((2027, 6, 10), True)])
def test_weather_that_ends_more_than_ten_days_before_the_page_is_said(folder, day, is_said):
    page = week_page(folder / "season.toml", folder / "may.csv", on=dt.date(*day))
    said = "The weather of Ford ends on 2027-05-30, 11 days before this page; at"
    assert [one.startswith(said) for one in page.cautions] == [True] * is_said


def test_how_old_a_legal_check_is_counts_to_the_day_of_the_page(folder, tmp_path):
    """A year after 20 May 2026 is 20 May 2027: the plan of 1 November need not ask, the page must."""
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    profile = copy / "agents" / "weevil.toml"
    text, marks = profile.read_text(encoding="utf-8"), "checked_on = "
    assert marks in text
    profile.write_text(re.sub(rf"{marks}\S+", f"{marks}2026-05-20", text), encoding="utf-8")
    early, late = (
        week_page(copy / "season.toml", copy / "may.csv", on=dt.date(2027, 5, day)) for day in (20, 21)
    )
    assert early.questions == ()
    assert "was checked on 2026-05-20, 366 days before 2027-05-21" in late.questions[0]


def test_what_a_profile_warns_of_stands_on_the_page(folder, tmp_path):
    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    profile = copy / "agents" / "weevil.toml"
    profile.write_text('caution = "ask first."\n' + profile.read_text(encoding="utf-8"), encoding="utf-8")
    page = week_page(copy / "season.toml", copy / "may.csv")
    assert page.questions == (f"STOP AND ASK: {AGENT}: ask first. Ask the authority in charge.",)


def test_a_season_without_weather_takes_the_files_as_they_are(tmp_path):
    season = write_tiny_season(tmp_path)
    profile = tmp_path / "agents" / "weevil.toml"
    profile.write_text(profile.read_text(encoding="utf-8") + TIMING, encoding="utf-8")
    write_weather(tmp_path / "may.csv", "2027-01-01", "2027-06-06", "05-21")
    page = week_page(season, tmp_path / "may.csv")
    assert page.before is None
    # Warm since 21 May: 145 degree-days by noon of 4 June.
    assert str(only(page).opens.date()) == "2027-06-04"
    assert np.isnan(only(page).opens_moved_days)


def test_weather_that_cannot_be_used_is_a_mistake(folder):
    season = folder / "season.toml"
    with pytest.raises(InputMistakes) as gone:
        week_page(season, folder / "gone.csv", before=folder / "lost.csv")
    assert [one.code for one in gone.value.mistakes] == ["file-missing"] * 2
    (folder / "bare.csv").write_text("date,tmin\n2027-01-01,3\n", encoding="utf-8")
    with pytest.raises(InputMistakes, match="no column holds tmax"):
        week_page(season, folder / "bare.csv")
    write_weather(folder / "frod.csv", "2027-01-01", "2027-01-03", "05-21", station="Frod")
    with pytest.raises(InputMistakes) as lost:
        week_page(season, folder / "frod.csv")
    assert str(lost.value) == (
        f"error: {folder / 'frod.csv'} station\n  nobody knows where the station Frod is; the season has Ford.\n"
        "  Fix: name its station as the season does, or add longitude_deg and latitude_deg."
    )
