"""Windows over the season and records over the years: the page of the sample season beside its own tables."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.evidence import gather_evidence
from geo_scout.layers import known_on
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs import write_outputs
from geo_scout.outputs.run_log import RunLog
from geo_scout.pipeline.season_run import run

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SAMPLE = Path(__file__).parents[2] / "sample_layers" / "season.toml"
AGENT = "ashthorn stem weevil"
SAYS_MORE = ["not visited", "not found", "found too early", "found"]


@pytest.fixture(scope="module")
def result() -> SeasonResult:
    return run(SAMPLE, write=False)


@pytest.fixture(scope="module")
def folders(result: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> dict[Audience, Path]:
    made: dict[Audience, Path] = {}
    for audience in ("crew", "public"):
        made[audience] = tmp_path_factory.mktemp("sample") / audience
        write_outputs(result, made[audience], audience, RunLog())
    return made


@pytest.fixture(scope="module")
def outputs(folders: dict[Audience, Path]) -> Path:
    return folders["crew"]


def _opened(browser: Browser, path: Path, size: tuple[int, int]) -> Iterator[Page]:
    width, height = size
    context = browser.new_context(offline=True, viewport={"width": width, "height": height})
    page, said = context.new_page(), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text))
    page.goto(path.as_uri())
    page.locator("#tab-time").click()
    yield page
    assert page.evaluate("document.documentElement.scrollWidth") == width
    context.close()
    assert said == []


@pytest.fixture(params=[(1280, 800), (375, 740)], ids=["wide", "narrow"])
def page(browser: Browser, outputs: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    yield from _opened(browser, outputs / "map.html", request.param)


@pytest.fixture
def public_page(browser: Browser, folders: dict[Audience, Path]) -> Iterator[Page]:
    yield from _opened(browser, folders["public"] / "map.html", (1280, 800))


def _ranked(outputs: Path, name: str) -> pd.DataFrame:
    table = pd.read_csv(outputs / name, dtype={"site_id": str})
    return table[(table["agent"] == AGENT) & (table["status"] == "ranked")].sort_values("rank")


def _records(outputs: Path, name: str) -> pd.DataFrame:
    table = pd.read_csv(outputs / name, dtype=str, keep_default_na=False)
    return table[table["agent"] == AGENT].assign(year=table["date"].str[:4].astype(int))


def _set(page: Page, slider: str, value: int) -> None:
    page.locator(slider).evaluate(
        "(input, value) => { input.value = value; input.dispatchEvent(new Event('input', { bubbles: true })); }",
        value,
    )


def test_on_a_day_the_open_sites_are_those_of_the_tables(page: Page, outputs: Path) -> None:
    tables = {"source": _ranked(outputs, "sources.csv"), "release": _ranked(outputs, "release_sites.csv")}
    words = {"source": "can be collected", "release": "can receive"}
    seen = set()
    for day in ("2027-05-20", "2027-06-04", "2027-06-12", "2027-06-20", "2027-07-05", "2027-08-12"):
        _set(page, "#day", (dt.date.fromisoformat(day) - dt.date(1970, 1, 1)).days)
        for role, table in tables.items():
            is_open = (table["window_opens"] <= day) & (day <= table["window_closes"])
            ids = table.loc[is_open, "site_id"].to_list()
            expect(page.locator(".day-found")).to_contain_text(f"{len(ids)} of {len(table)}")
            named = page.locator(f".day-found [data-role={role}]")
            more = named.locator("xpath=ancestor::ul/following-sibling::button[1]").locator("visible=true")
            if len(ids) > 8:
                more.first.click()
            assert named.evaluate_all("all => all.map((one) => one.dataset.site)") == ids, (day, role)
            assert words[role] in page.locator(".day-found").inner_text()
            seen.add((role, len(ids)))
    assert len(seen) > 6, "the days chosen must differ"


def test_only_open_sites_are_listed_and_mapped(page: Page, outputs: Path) -> None:
    table, day = _ranked(outputs, "release_sites.csv"), "2027-06-12"
    _set(page, "#day", (dt.date.fromisoformat(day) - dt.date(1970, 1, 1)).days)
    page.locator("#only-open").check()
    ids = table.loc[(table["window_opens"] <= day) & (day <= table["window_closes"]), "site_id"].to_list()
    assert 0 < len(ids) < len(table)
    page.locator("#tab-sites").click()
    rows = page.locator("#sites ol.sites").first.locator(".site-row")
    assert rows.evaluate_all("all => all.map((one) => one.dataset.site)") == ids
    assert page.evaluate("seasonMap.layers.groups.ranked.getLayers().length") >= len(ids)
    shown = page.evaluate(
        "seasonMap.filters.shown().filter((site) => site.group === 'ranked').map((site) => site.site_id)"
    )
    assert shown == ids


@pytest.mark.parametrize("year", [2016, 2019, 2022, 2025])
def test_in_a_year_the_records_are_those_of_the_tables(
    page: Page, outputs: Path, result: SeasonResult, year: int
) -> None:
    releases, visits = _records(outputs, "releases.csv"), _records(outputs, "visits.csv")
    made, seen = releases[releases["year"] <= year], visits[visits["year"] <= year]
    _set(page, "#year", year)
    expect(page.locator(".year-said")).to_have_text(f"End of {year}")
    expect(page.locator(".release-mark")).to_have_count(len(made))
    then = page.evaluate("seasonMap.recordsThen().releases")
    assert [one["release_id"] for one in then] == made["release_id"].to_list()
    # What a visit says by itself, from its row of the table.
    most: dict[str, int] = {}
    for release_id, found, silent in zip(
        seen["release_id"], seen["result"], seen["says_nothing"], strict=True
    ):
        said = "found too early" if "just released" in silent else found
        most[release_id] = max(most.get(release_id, 0), SAYS_MORE.index(said))
    expected = [SAYS_MORE[most.get(release_id, 0)] for release_id in made["release_id"]]
    assert [one["outcome"] for one in then] == expected
    # Populations: the places of finds that confirm.
    confirming = seen[seen["confirms"] == "yes"]
    places = confirming["site_id"].where(confirming["site_id"] != "", confirming["release_id"])
    expect(page.locator(".population-mark")).to_have_count(places.nunique())
    # States: of layers from which all that came later is gone.
    agent = next(one for one in result.season.agents if one.name == AGENT)
    cut = known_on(result.layers, dt.date(year + 1, 1, 1))
    season = replace(result.season, as_of=dt.date(year, 12, 31))
    known = gather_evidence(result.sites[agent.host], cut, season, agent).releases
    assert [one["state"] for one in then] == known["state"].to_list()


def test_the_last_position_is_today(page: Page, outputs: Path) -> None:
    releases = _records(outputs, "releases.csv")
    _set(page, "#year", 2018)
    _set(page, "#year", 2026)
    expect(page.locator(".year-said")).to_have_text("Now, 1 November 2026")
    now = page.evaluate("seasonMap.recordsThen().releases")
    for name in ("release_id", "outcome", "state", "lost_on"):
        assert [one[name] or "" for one in now] == releases[name].to_list()


def test_a_public_page_shows_the_same_visits_and_no_treatment(public_page: Page, outputs: Path) -> None:
    releases = _records(outputs, "releases.csv")
    assert (releases["lost_on"] != "").any(), "the sample must have a treatment that ended a population"
    every = "seasonMap.data.season.records.map((one) => one.years)"
    for told in public_page.evaluate(every):
        assert sorted(told["releases"]) == ["outcome", "row", "year"]
        assert sorted(told["populations"]) == [
            "first_found", "last_found", "latest_result", "release_ids", "row", "year",
        ]  # fmt: skip
    for year in (2018, 2023, 2025):
        _set(public_page, "#year", year)
        expect(public_page.locator(".release-mark")).to_have_count(int((releases["year"] <= year).sum()))
        told = public_page.evaluate("JSON.stringify(seasonMap.recordsThen().releases)")
        assert not any(day in told for days in releases["lost_on"] for day in days.split("; ") if day)
    public_page.locator(".year-names > summary").click()
    assert "lost" not in public_page.locator(".year-view").inner_text()
