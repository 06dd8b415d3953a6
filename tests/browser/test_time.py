"""Windows over the season and records over the years, on the sample season's own outputs."""

from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.pipeline.season_run import run

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SAMPLE = Path(__file__).parents[2] / "sample_layers" / "season.toml"
AGENT = "ashthorn stem weevil"
ORDER = ["not visited", "not found", "found too early", "found"]


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sample") / "outputs"
    run(SAMPLE, outputs=folder)
    return folder


@pytest.fixture(params=[(1280, 800), (375, 740)], ids=["wide", "narrow"])
def page(browser: Browser, outputs: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    width, height = request.param
    context = browser.new_context(offline=True, viewport={"width": width, "height": height})
    opened, said = context.new_page(), []
    opened.on("pageerror", lambda error: said.append(str(error)))
    opened.on("console", lambda message: said.append(message.text))
    opened.goto((outputs / "map.html").as_uri())
    yield opened
    context.close()
    assert said == []


def _ranked(outputs: Path, name: str) -> pd.DataFrame:
    table = pd.read_csv(outputs / name, dtype={"site_id": str})
    return table[(table["agent"] == AGENT) & (table["status"] == "ranked")]


def _open_on(table: pd.DataFrame, day: str) -> list[str]:
    is_open = (table["window_opens"] <= day) & (day <= table["window_closes"])
    return table.loc[is_open].sort_values("rank")["site_id"].to_list()


def _set(page: Page, slider: str, value: int) -> None:
    page.locator(slider).evaluate(
        "(input, value) => { input.value = value; input.dispatchEvent(new Event('input', { bubbles: true })); }",
        value,
    )


def _day_number(day: str) -> int:
    return (pd.Timestamp(day) - pd.Timestamp("1970-01-01")).days


@pytest.mark.parametrize("day", ["2027-05-20", "2027-06-12", "2027-06-20", "2027-07-18", "2027-08-09"])
def test_on_a_day_the_open_sites_are_those_of_the_tables(page: Page, outputs: Path, day: str) -> None:
    page.locator("#tab-time").click()
    _set(page, "#day", _day_number(day))
    counts = {}
    for name, words in (
        ("sources.csv", "sources can be collected"),
        ("release_sites.csv", "release sites can receive"),
    ):
        table = _ranked(outputs, name)
        counts[name] = _open_on(table, day)
        dated = int(table["window_opens"].notna().sum())
        expect(page.locator(".day-found")).to_contain_text(f"{len(counts[name])} of {dated} {words}")
    page.locator("#only-open").check()
    page.locator("#tab-sites").click()
    rows = page.locator("#sites ol.sites").first.locator(".site-row") if counts["release_sites.csv"] else None
    shown = rows.evaluate_all("rows => rows.map((row) => row.dataset.site)") if rows else []
    assert shown == counts["release_sites.csv"]
    page.locator("#filters > summary").click()
    expect(page.locator("#filter-day")).to_have_value(day)
    page.get_by_role("button", name="Clear filters").click()
    expect(page.locator("#sites ol.sites").first.locator(".site-row")).to_have_count(
        len(_ranked(outputs, "release_sites.csv"))
    )


def test_a_row_shows_its_window_over_the_season(page: Page, outputs: Path) -> None:
    table = _ranked(outputs, "release_sites.csv").set_index("site_id")
    first = table.iloc[0]
    row = page.locator(".site-row").first
    expect(row.locator(".window-bar .spoken")).to_contain_text("Window 11 June to 10 August")
    assert first["window_opens"] == "2027-06-11"
    assert first["window_closes"] == "2027-08-10"
    # May to September: 153 days; the bar begins where 11 June is, and ends after 10 August.
    track, bar = row.locator(".window-track").bounding_box(), row.locator(".open").bounding_box()
    assert track is not None
    assert bar is not None
    months = page.locator(".window-axis .month").all_inner_texts()
    assert [month for month in months if month] == ["May", "Jun", "Jul", "Aug", "Sep"]
    assert (bar["x"] - track["x"]) / track["width"] == pytest.approx(41 / 153, abs=0.01)
    assert bar["width"] / track["width"] == pytest.approx(61 / 153, abs=0.01)


def test_keys_move_the_day_and_the_focus_stays(page: Page) -> None:
    page.locator("#tab-time").click()
    page.locator("#day").focus()
    before = page.locator(".day-said").inner_text()
    page.keyboard.press("ArrowRight")
    after = page.locator(".day-said").inner_text()
    assert pd.Timestamp(after) - pd.Timestamp(before) == pd.Timedelta(days=1)
    expect(page.locator("#day")).to_be_focused()
    page.get_by_role("button", name="Week on").click()
    assert pd.Timestamp(page.locator(".day-said").inner_text()) - pd.Timestamp(after) == pd.Timedelta(days=7)


@pytest.mark.parametrize("year", [2016, 2019, 2022, 2025])
def test_in_a_year_the_releases_are_those_of_the_tables(page: Page, outputs: Path, year: int) -> None:
    releases = pd.read_csv(outputs / "releases.csv", dtype=str).query("agent == @AGENT")
    visits = pd.read_csv(outputs / "visits.csv", dtype=str).query("agent == @AGENT")
    made = releases[releases["date"].str[:4].astype(int) <= year]
    seen = visits[visits["date"].str[:4].astype(int) <= year]
    page.locator("#tab-time").click()
    _set(page, "#year", year)
    expect(page.locator(".year-said")).to_have_text(f"End of {year}")
    then = {
        one["release_id"]: one["outcome"] for one in page.evaluate("() => seasonMap.recordsThen().releases")
    }
    assert set(then) == set(made["release_id"])
    visited = set(seen["release_id"]) & set(made["release_id"])
    # A visit may say nothing of a release; one that nobody had visited says "not visited" for sure.
    assert {one for one, outcome in then.items() if outcome != "not visited"} <= visited
    now = dict(zip(releases["release_id"], releases["outcome"], strict=True))
    assert all(ORDER.index(outcome) <= ORDER.index(now[one]) for one, outcome in then.items())
    placed = page.evaluate(
        "() => seasonMap.recordsThen().releases.filter((one) => one.latitude_deg !== null).length"
    )
    expect(page.locator(".release-mark")).to_have_count(placed)


def test_the_last_year_is_now(page: Page, outputs: Path) -> None:
    releases = pd.read_csv(outputs / "releases.csv", dtype=str).query("agent == @AGENT")
    page.locator("#tab-time").click()
    _set(page, "#year", 2026)
    expect(page.locator(".year-said")).to_have_text("Now")
    now = {
        one["release_id"]: one["outcome"] for one in page.evaluate("() => seasonMap.recordsThen().releases")
    }
    assert now == dict(zip(releases["release_id"], releases["outcome"], strict=True))
    # What the last record year gives by itself is what the evidence said.
    then = {
        one["release_id"]: one["outcome"]
        for one in page.evaluate(
            "() => { seasonMap.season.setYear(2026); const r = seasonMap.recordsThen().releases; seasonMap.season.setYear(null); return r; }"
        )
    }
    assert then == now
