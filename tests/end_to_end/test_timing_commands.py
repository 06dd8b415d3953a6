"""`geo-scout agents`, `timing` and `week` as a shell sees them, on the sample's weather and season."""

import datetime as dt
import hashlib
import re
import tomllib
from pathlib import Path

import numpy as np
import pandas as pd
import pytest


@pytest.fixture(scope="session")
def sample_weather(sample_season) -> Path:
    return sample_season.parent / "weather" / "quillen_ford.csv"


@pytest.fixture(scope="session")
def record(sample_weather) -> pd.DataFrame:
    return pd.read_csv(sample_weather, parse_dates=["date"]).set_index("date")


def test_agents_are_listed_and_one_can_be_saved(geo_scout, tmp_path):
    told = geo_scout("agents", cwd=tmp_path)
    assert (told.returncode, told.stderr) == (0, "")
    assert "Aphthona lacertosa on leafy spurge\n  heat above 7.5 degC, single sine, from 01-01" in told.stdout
    saved = geo_scout("agents", "aphthona LACERTOSA", cwd=tmp_path)
    assert tomllib.loads(saved.stdout)["timing"]["collecting"]["heat"]["base"]["value"] == 7.5


def first_day_of_heat(days: pd.DataFrame, base: float, wanted: float) -> dict[int, dt.date]:
    """Return the first day of each year on which the sum of single-sine degree-days is reached, day by day."""
    found: dict[int, dt.date] = {}
    total, year = 0.0, 0
    for day, low, high in days[["tmin", "tmax"]].itertuples():
        if day.year != year:
            total, year = 0.0, day.year
        middle, half = (low + high) / 2, (high - low) / 2
        if low >= base:
            total += middle - base
        elif high > base:
            angle = np.arcsin((base - middle) / half)
            total += ((middle - base) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi
        if total >= wanted and year not in found:
            found[year] = day.date()
    return found


def test_timing_of_a_daily_table_agrees_with_a_plain_loop(geo_scout, sample_weather, record, tmp_path):
    told = geo_scout(
        "timing",
        sample_weather,
        "Aphthona lacertosa",
        "--fill-gaps-days",
        "3",
        "--on",
        "2026-11-01",
        cwd=tmp_path,
    )
    assert (told.returncode, told.stderr) == (0, "")
    filled = record.reindex(pd.date_range(record.index[0], record.index[-1]))[["tmin", "tmax"]].interpolate()
    expected = first_day_of_heat(filled, 7.5, 326)
    years = {
        int(year): dt.datetime.strptime(f"{opens} {year}", "%d %b %Y").date()  # noqa: DTZ007  a day has no zone
        for year, opens in re.findall(r"^    (\d{4})  (\d+ [A-Z][a-z]{2})", told.stdout, re.MULTILINE)
    }
    assert years == expected
    # The middle of 15 days of the year is the eighth.
    middle = sorted(
        day.timetuple().tm_yday - (day.year % 4 == 0 and day.month > 2) for day in expected.values()
    )[7]
    said = re.search(r"^  opens: (\d+ \w+ \d{4})$", told.stdout, re.MULTILINE)[1]
    assert dt.datetime.strptime(said, "%d %B %Y").timetuple().tm_yday == middle  # noqa: DTZ007
    assert "  from: 15 years of daily weather at Quillen Ford (1000 m), 2012-2026\n" in told.stdout


def test_timing_of_a_monthly_table_names_its_period_and_its_bias(geo_scout, record, tmp_path):
    months = record.groupby(record.index.month)[["tmin", "tmax"]].mean().round(2)
    months.rename_axis("month").to_csv(tmp_path / "normals.csv")
    call = ("timing", "normals.csv", "Aphthona lacertosa", "--period", "2012-2026", "--on", "2026-11-01")
    bare = geo_scout(*call, cwd=tmp_path)
    assert (bare.returncode, bare.stderr) == (0, "")
    assert "  from: normals of 2012-2026 (late-biased: normals only)\n" in bare.stdout
    spread = geo_scout(*call, "--daily-spread-degc", "4.2", cwd=tmp_path)
    assert "  from: normals of 2012-2026, corrected for the spread of days (as stated)\n" in spread.stdout

    def opens(text):
        said = re.search(r"^  opens: (.+)$", text, re.MULTILINE)[1]
        return dt.datetime.strptime(said, "%d %B %Y").date()  # noqa: DTZ007

    # Years open on 10 June in the middle; the issue of the correction is that bare normals come later than that.
    assert opens(bare.stdout) > opens(spread.stdout)
    assert abs((opens(spread.stdout) - dt.date(2027, 6, 10)).days) <= 6


def test_learning_from_catches_gives_heats_range_and_error(geo_scout, sample_weather, tmp_path):
    rows = [
        f"{year}-06-{day:02},{count}"
        for year in (2021, 2022, 2023)
        for day, count in ((1, 0), (10, 4), (20, 9), (30, 2))
    ]
    (tmp_path / "catches.csv").write_text("Day,count\n" + "\n".join(rows) + "\n", encoding="utf-8")
    told = geo_scout(
        "timing", sample_weather, "Aphthona lacertosa", "--learn", "catches.csv", "--column", "catches.date=Day",
        "--on", "2026-11-01", cwd=tmp_path,
    )  # fmt: skip
    assert told.returncode == 0
    assert len(re.findall(r"^  202[123]-06-\d\d +\d+ +\d+$", told.stdout, re.MULTILINE)) == 12
    assert re.search(
        r"^n = 9 catches in 3 years: from \d+ to \d+ degree-days \(degC\)\.\n"
        r"Half of a year's catch, by the numbers caught, is in at \d+ \(mean of 3 seasons\)\.$",
        told.stdout,
        re.MULTILINE,
    )
    assert re.search(
        r"off by \d+\.\d days on average \(2021: [+-]\d+ days, 2022: .*, 2023: .*\)\.$",
        told.stdout,
        re.MULTILINE,
    )
    # The gap of 2019 is no part of it, but it is told.
    assert told.stderr.startswith(
        f"caution: {sample_weather}\n  days without temperatures: 3 at Quillen Ford"
    )


@pytest.fixture(scope="session")
def weekly(tmp_path_factory, record) -> Path:
    """Return a folder with this year's weather to Sunday 9 May and 6 June 2027: that of 2024, two degrees warmer."""
    folder = tmp_path_factory.mktemp("weekly")
    of_2024 = record["2024-01-01":"2024-06-07"].reset_index()
    of_2024 = of_2024[of_2024["date"].dt.strftime("%m-%d") != "02-29"]
    this_year = of_2024.assign(
        date=of_2024["date"].dt.strftime("2027-%m-%d"), tmin=of_2024["tmin"] + 2, tmax=of_2024["tmax"] + 2
    )
    for name, last in (("may.csv", "2027-05-09"), ("june.csv", "2027-06-06")):
        this_year[this_year["date"] <= last].to_csv(folder / name, index=False)
    return folder


def test_the_page_of_a_week(geo_scout, sample_season, weekly):
    told = geo_scout("week", sample_season, "--weather", "june.csv", "--before", "may.csv", cwd=weekly)
    assert (told.returncode, told.stderr) == (0, "")
    lines = told.stdout.splitlines()
    digests = [
        hashlib.sha256((weekly / name).read_bytes()).hexdigest()[:12] for name in ("june.csv", "may.csv")
    ]
    assert lines[:4] == [
        "Quillen Valley releases 2027",
        "Week of Monday 7 June 2027 and the week after",
        f"Weather: june.csv to Sunday 6 June 2027 (sha256 {digests[0]}).",
        f"Compared with may.csv to Sunday 9 May 2027 (sha256 {digests[1]}).",
    ]
    assert any(line.startswith("STOP AND ASK: brindlebell leaf beetle: ") for line in lines)
    assert "COLLECT ashthorn stem weevil: 9 ranked sources, best first" in lines
    ranks = [int(line[:6]) for line in lines if re.match(r" +\d+  ASHT-", line)]
    assert ranks == sorted(ranks) != []
    assert re.search(r"  since the last weather: openings moved, .* earlier", told.stdout)
    assert re.search(r"  can receive this week: \d+ of 38: ASHT-", told.stdout)
    assert sorted(path.name for path in weekly.iterdir()) == ["june.csv", "may.csv"]


def test_the_calendar_holds_the_sources_in_the_order_in_which_they_open(sample_run):
    calendar = pd.read_csv(sample_run / "calendar.csv", encoding="utf-8-sig", keep_default_na=False)
    sources = pd.read_csv(sample_run / "sources.csv", encoding="utf-8-sig", keep_default_na=False)
    opens = [day for day in calendar["window_opens"] if day]
    assert opens == sorted(opens) != []
    assert set(calendar["window_opens"].tolist()[: len(opens)]) == set(opens)
    ranked = set(sources.loc[sources["status"] == "ranked", "site_id"])
    assert ranked <= set(calendar["site_id"])
    others = sources[sources["site_id"].isin(set(calendar["site_id"]) - ranked)]
    assert not others["exclusion_codes"].str.contains("agent-not-confirmed|legal-forbidden|too-soon").any()
    own = calendar.set_index(["agent", "site_id"])["window_opens"]
    in_table = sources.set_index(["agent", "site_id"])["window_opens"]
    assert own.equals(in_table.loc[own.index])
    picture = (sample_run / "calendar.svg").read_text(encoding="utf-8")
    assert [picture.index(site) for site in calendar["site_id"]] == sorted(
        picture.index(site) for site in calendar["site_id"]
    )
