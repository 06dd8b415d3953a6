"""Windows over the season and records over the years, in a real browser, on the invented season."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.model.records_by_year import RecordsByYear
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"wide": (1280, 800), "narrow": (375, 740)}
AXIS_OF_WIDTH = """width => new Promise((done) => {
  const box = seasonMap.element('div', {}, seasonMap.windowBar.axis());
  box.style.width = `${width}px`;
  document.querySelector('.panel').append(box);
  const names = [...box.querySelectorAll('.month span')];
  requestAnimationFrame(() => requestAnimationFrame(() => {
    const shown = names.filter((one) => getComputedStyle(one).visibility === 'visible');
    const edges = ({ left, right }) => [left, right];
    const { right } = box.getBoundingClientRect();
    done({ right, count: names.length, names: shown.map((one) => edges(one.getBoundingClientRect())) });
    box.remove();
  }));
})"""
HOSTILE = "<img src=x onerror=window.bad=1>{{ 7*7 }}`${window.bad=1}`"


def _with_years(season: SeasonResult) -> SeasonResult:
    """Return the season with the years 2020 to 2025 of its first agent's first two releases and a population."""
    agent = season.season.agents[0].name
    evidence = season.evidence[agent]
    first, second = evidence.releases["release_id"].iloc[[0, 1]]
    releases = [
        (first, 2020, "not visited", "too early"),
        (second, 2021, "not visited", "possible"),
        (first, 2022, "found", "confirmed"),
        (second, 2023, "not found", "unlikely"),
        (first, 2024, "found", "lost"),
    ]
    days = [pd.Timestamp("2022-06-30"), pd.Timestamp("2024-06-30")]
    population = evidence.populations["population_id"].iloc[0]
    populations = [
        (population, 2022, days[0], days[0], "found", ""),
        (population, 2024, days[0], days[1], "found", ""),
    ]
    today = evidence.populations.assign(first_found=days[0])
    told = RecordsByYear(
        range(2020, 2026),
        pd.DataFrame(releases, columns=["release_id", "year", "outcome", "state"]),
        pd.DataFrame(
            populations,
            columns=["population_id", "year", "first_found", "last_found", "latest_result", "release_ids"],
        ),
    )
    return replace(
        season,
        records_by_year={agent: told},
        evidence={**season.evidence, agent: replace(evidence, populations=today)},
    )


@pytest.fixture(scope="module")
def season(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    return _with_years(make_season())


@pytest.fixture(scope="module")
def map_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[SeasonResult, Audience], Path]:
    """Write the map of a season for an audience once."""
    written: dict[tuple[int, Audience], tuple[Path, SeasonResult]] = {}

    def of(made: SeasonResult, audience: Audience) -> Path:
        if (id(made), audience) not in written:
            path = tmp_path_factory.mktemp("map") / "map.html"
            write_map(path, made, build_tables(made, audience), audience)
            written[id(made), audience] = path, made
        return written[id(made), audience][0]

    return of


@pytest.fixture
def open_map(
    browser: Browser, map_of: Callable[[SeasonResult, Audience], Path]
) -> Iterator[Callable[..., Page]]:
    contexts, said = [], []

    def opened(made: SeasonResult, size: str = "wide", audience: Audience = "crew") -> Page:
        width, height = SIZES[size]
        context = browser.new_context(offline=True, viewport={"width": width, "height": height})
        contexts.append(context)
        page: Page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(map_of(made, audience).as_uri())
        page.locator("#tab-time").click()
        return page

    yield opened
    for context in contexts:
        page = context.pages[0]
        assert page.evaluate("document.documentElement.scrollWidth") == page.viewport_size["width"]
        assert page.evaluate("window.bad") is None
        context.close()
    assert said == []


def set_slider(page: Page, slider: str, value: int) -> None:
    page.locator(slider).evaluate(
        "(input, value) => { input.value = value; input.dispatchEvent(new Event('input', { bubbles: true })); }",
        value,
    )


def day_number(day: str) -> int:
    return (dt.date.fromisoformat(day) - dt.date(1970, 1, 1)).days


def _open_on(season: SeasonResult, role: str, day: str) -> list[str]:
    table = season.ranking(season.season.agents[0].name, role).ranked
    is_open = (table["window_opens"] != "") & (table["window_opens"] <= day) & (day <= table["window_closes"])
    return table.loc[is_open, "site_id"].to_list()


@pytest.mark.parametrize("size", SIZES)
def test_a_day_shows_what_is_open_and_leads_to_it(
    open_map: Callable[..., Page], season: SeasonResult, size: str
) -> None:
    page = open_map(season, size)
    expect(page.locator(".day-said")).to_have_text("No day chosen")
    ranked = season.ranking(season.season.agents[0].name, "release").ranked
    first = ranked[ranked["window_opens"] != ""].iloc[0]
    # Both ends of a window are days of it.
    for day in ("2026-05-18", "2026-06-12", first["window_opens"], first["window_closes"], "2026-08-20"):
        set_slider(page, "#day", day_number(day))
        shown = {
            role: page.locator(f".day-found [data-role={role}]").evaluate_all(
                "all => all.map((one) => one.dataset.site)"
            )
            for role in ("source", "release")
        }
        assert shown == {role: _open_on(season, role, day) for role in shown}, day
        assert page.evaluate("seasonMap.state.day") == day
    set_slider(page, "#day", day_number("2026-06-12"))
    source = page.locator(".day-found [data-role=source]").first
    site = source.get_attribute("data-site")
    source.click()
    expect(page.locator(".site-card")).to_contain_text("Collection source")
    assert page.evaluate("seasonMap.state.siteId") == site
    expect(page.locator(".site-card .window-track .today")).to_have_count(1)
    page.get_by_role("button", name="Close").click()
    # The list was made anew for the other ranking; the button that was pressed has the focus again.
    expect(page.locator(f".day-found [data-role=source][data-site={site}]")).to_be_focused()


def test_only_open_sites_pass_and_the_filter_offers_the_same(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page, day = open_map(season), "2026-06-12"
    set_slider(page, "#day", day_number(day))
    page.locator("#only-open").check()
    passing = "seasonMap.state.ranking().sites.filter((site) => seasonMap.season.passes(site)).map((site) => site.site_id)"
    table = season.ranking(season.season.agents[0].name, "release").table
    is_open = (table["window_opens"] != "") & (table["window_opens"] <= day) & (day <= table["window_closes"])
    assert set(page.evaluate(passing)) == set(table.loc[is_open, "site_id"])
    page.locator("#tab-sites").click()
    rows = page.locator("#sites ol.sites").first.locator(".site-row")
    shown = rows.evaluate_all("all => all.map((one) => one.dataset.site)")
    assert shown == _open_on(season, "release", day)
    page.locator("#filters > summary").click()
    expect(page.locator("#filter-day")).to_have_value(day)
    page.locator("#filter-day").fill("2026-06-20")
    assert page.evaluate("seasonMap.season.day") == "2026-06-20"
    page.get_by_role("button", name="Clear filters").click()
    page.locator("#tab-time").click()
    expect(page.locator("#only-open")).not_to_be_checked()
    page.get_by_role("button", name="No day").click()
    assert page.evaluate("seasonMap.state.day") is None
    expect(page.locator(".window-bar .today")).to_have_count(0)


def test_a_day_beyond_the_slider_is_still_the_day(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season)
    page.evaluate("seasonMap.season.set('2027-03-04', false)")
    expect(page.locator(".day-said")).to_have_text("4 March 2027")
    expect(page.locator(".day-found")).to_contain_text("0 of")


def test_keys_move_day_and_year_and_the_focus_stays(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season)
    set_slider(page, "#day", day_number("2026-06-30"))
    page.locator("#day").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator(".day-said")).to_have_text("1 July 2026")
    expect(page.locator("#day")).to_have_attribute("aria-valuetext", "1 July 2026")
    expect(page.locator("#day")).to_be_focused()
    for name, day in (
        ("Week on", "8 July 2026"),
        ("Day on", "9 July 2026"),
        ("Day back", "8 July 2026"),
        ("Week back", "1 July 2026"),
    ):
        page.get_by_role("button", name=name).press("Enter")
        expect(page.locator(".day-said")).to_have_text(day)
        expect(page.get_by_role("button", name=name)).to_be_focused()
    page.locator("#year").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator(".year-said")).to_have_text("End of 2025")
    expect(page.locator("#year")).to_be_focused()
    page.keyboard.press("Home")
    expect(page.locator(".year-said")).to_have_text("End of 2020")
    page.keyboard.press("End")
    expect(page.locator(".year-said")).to_have_text("Now, 1 March 2026")


def test_the_bars_stand_under_their_months(open_map: Callable[..., Page], season: SeasonResult) -> None:
    page = open_map(season)
    page.locator("#tab-sites").click()
    table = season.ranking(season.season.agents[0].name, "release").ranked
    every = [season.ranking(season.season.agents[0].name, role).table for role in ("release", "source")]
    days = sorted(
        day
        for one in every
        for name in one.filter(like="window_").columns
        if name != "window_kind"
        for day in one[name]
        if day
    )
    first = dt.date.fromisoformat(min(days[0], "2026-05-18")).replace(day=1)
    last = (
        dt.date.fromisoformat(max(days[-1], "2026-08-14")).replace(day=28) + dt.timedelta(days=4)
    ).replace(day=1)
    row = table[table["window_opens"] != ""].iloc[0]
    opens, closes = (dt.date.fromisoformat(row[name]) for name in ("window_opens", "window_closes"))
    button = page.locator(f".site-row[data-site={row['site_id']}]")
    button.scroll_into_view_if_needed()
    axis, track = (
        page.locator(".window-axis").bounding_box(),
        button.locator(".window-track").bounding_box(),
    )
    bar = button.locator(".open").bounding_box()
    assert axis is not None
    assert track is not None
    assert bar is not None
    assert (axis["x"], axis["width"]) == pytest.approx((track["x"], track["width"]), abs=1)
    whole = (last - first).days
    assert (bar["x"] - track["x"]) / track["width"] == pytest.approx((opens - first).days / whole, abs=0.005)
    assert bar["width"] / track["width"] == pytest.approx(((closes - opens).days + 1) / whole, abs=0.005)
    spoken = button.locator(".window-bar .spoken").inner_text()
    peak = dt.date.fromisoformat(row["window_peaks"])
    assert spoken == (
        f"Window {opens.day} {opens:%B} to {closes.day} {closes:%B}, peaks {peak.day} {peak:%B}"
    )
    barred = page.evaluate(
        "seasonMap.state.ranking().sites.filter((site) => seasonMap.windowBar(site)).map((site) => site.site_id)"
    )
    assert set(barred) == set(every[0].loc[every[0]["window_opens"] != "", "site_id"])


@pytest.mark.parametrize(("months", "end"), [(1, "2026-05-31"), (5, "2026-09-30"), (14, "2027-06-30")])
def test_names_of_months_never_overlap(
    open_map: Callable[..., Page], season: SeasonResult, months: int, end: str
) -> None:
    told = season.season.settings.season.model_copy(
        update={"start": dt.date(2026, 5, 18), "end": dt.date.fromisoformat(end)}
    )
    settings = season.season.settings.model_copy(update={"season": told})
    bare = [
        replace(one, table=one.table.drop(columns=one.table.filter(like="window_").columns))
        for one in season.rankings
    ]
    page = open_map(replace(season, season=replace(season.season, settings=settings), rankings=tuple(bare)))
    for width in (60, 80, 140, 375, 900):
        axis = page.evaluate(AXIS_OF_WIDTH, width)
        assert axis["count"] == months
        assert axis["names"], "at least the first month is named"
        for (_, right), (left, _) in zip(axis["names"], axis["names"][1:], strict=False):
            assert left > right
        assert axis["names"][-1][1] <= axis["right"] + 0.5
        if width / months > 40:
            assert len(axis["names"]) == months


def test_an_agent_without_dates_goes_by_what_is_seen(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season)
    page.locator("#agent").select_option("1")
    set_slider(page, "#day", day_number("2026-07-01"))
    expect(page.locator(".day-found")).to_contain_text("by what is to be seen, not by dates.")
    expect(page.locator(".day-found button.name-button")).to_have_count(0)
    page.locator("#tab-sites").click()
    expect(page.locator(".window-bar")).to_have_count(0)
    page.locator(".site-row").first.click()
    expect(page.locator(".site-card")).to_contain_text("No dates: go by what is to be seen.")
    assert page.evaluate("seasonMap.windowBar(seasonMap.state.ranking().sites[0])") is None


@pytest.mark.parametrize("size", SIZES)
def test_a_year_shows_the_records_of_its_end(
    open_map: Callable[..., Page], season: SeasonResult, size: str
) -> None:
    page = open_map(season, size)
    evidence = season.evidence[season.season.agents[0].name]
    marks, stars = page.locator(".release-mark"), page.locator(".population-mark")
    expect(marks).to_have_count(len(evidence.releases))
    expect(stars).to_have_count(len(evidence.populations))
    expect(page.locator("#year-note")).to_be_hidden()
    expected = {
        2020: (1, 0, "Not visited yet: 1", "too early to say: 1"),
        2021: (2, 0, "Not visited yet: 2", "possible: 1"),
        2022: (2, 1, "Agent found: 1", "confirmed: 1"),
        2023: (2, 1, "Agent not found: 1", "unlikely: 1"),
        2025: (2, 1, "Agent found: 1", "lost: 1"),
    }
    for year, (releases, populations, outcome, state) in expected.items():
        set_slider(page, "#year", year)
        expect(marks).to_have_count(releases)
        expect(stars).to_have_count(populations)
        expect(page.locator(".year-found")).to_contain_text(outcome)
        expect(page.locator(".year-found")).to_contain_text(state)
    scores = page.evaluate("seasonMap.state.ranking().sites.map((site) => [site.rank, site.score])")
    note = page.locator("#year-note")
    expect(note).to_have_text("Records to 2025: back to now")
    note.click()
    expect(page.locator(".year-said")).to_have_text("Now, 1 March 2026")
    expect(marks).to_have_count(len(evidence.releases))
    expect(note).to_be_hidden()
    assert page.evaluate("seasonMap.state.ranking().sites.map((site) => [site.rank, site.score])") == scores
    expect(page.locator(".year-view")).to_contain_text(
        "Ranks, scores and windows do not change with the year."
    )


def test_an_open_card_follows_the_year_and_today_is_as_without_it(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season)
    today = page.evaluate("seasonMap.data.records[0].releases")
    page.locator(".year-names > summary").click()
    page.locator(".year-names .name-button").first.click()
    card = page.locator(".record-card")
    before = card.inner_text()
    assert "as of the end" not in before
    set_slider(page, "#year", 2022)
    expect(card).to_contain_text("Release of agents, as of the end of 2022")
    expect(card).to_contain_text("confirmed")
    # Visit and loss of this season's first release are of 2024 and later.
    assert "2024" not in card.inner_text()
    set_slider(page, "#year", 2020)
    expect(card).to_contain_text("too early to say")
    set_slider(page, "#year", 2026)
    assert card.inner_text() == before
    then = page.evaluate("seasonMap.recordsThen().releases.map(({ row, ...told }) => told)")
    assert then == today
    page.locator(".year-names .name-button").nth(1).click()
    set_slider(page, "#year", 2020)
    expect(card).to_contain_text("Not made by the end of 2020.")
    page.locator(".year-names .name-button").first.click()
    page.get_by_role("button", name="Close").click()
    expect(page.locator(".year-names .name-button").first).to_be_focused()


def test_the_year_stays_for_the_other_ranking_and_goes_with_the_agent(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season)
    set_slider(page, "#year", 2022)
    page.locator("[data-role=source]").first.click()
    expect(page.locator(".year-said")).to_have_text("End of 2022")
    expect(page.locator(".release-mark")).to_have_count(2)
    page.locator("#agent").select_option("1")
    expect(page.locator(".year-view")).to_be_hidden()
    expect(page.locator("#year-note")).to_be_hidden()
    other = season.evidence[season.season.agents[1].name]
    expect(page.locator(".release-mark")).to_have_count(len(other.releases))


def test_a_public_copy_has_the_years_without_states_and_treatments(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    page = open_map(season, audience="public")
    set_slider(page, "#year", 2025)
    expect(page.locator(".release-mark")).to_have_count(2)
    expect(page.locator(".year-view")).to_contain_text("This copy holds no states of earlier years.")
    text = page.locator(".year-found").inner_text()
    assert "lost" not in text
    assert "Agent found: 1" in text
    told = page.evaluate("JSON.stringify(seasonMap.data.season.records[0].years)")
    assert "lost" not in told
    assert "state" not in told
    page.locator(".year-names > summary").click()
    page.locator(".year-names .name-button").first.click()
    card = page.locator(".record-card").inner_text()
    assert "destroyed" not in card
    assert "State" not in card


def test_hostile_names_are_text_in_the_lists_of_day_and_year(
    open_map: Callable[..., Page], make_season: Callable[..., SeasonResult]
) -> None:
    made = _with_years(make_season(text=lambda plain: f"{plain} {HOSTILE}"))
    page = open_map(made)
    set_slider(page, "#day", day_number("2026-06-20"))
    page.locator(".year-names > summary").click()
    set_slider(page, "#year", 2024)
    assert HOSTILE in page.locator(".day-found .name-button").first.inner_text()
    assert HOSTILE in page.locator(".year-names .name-button").first.inner_text()
    assert page.locator("#panel-time img").count() == 0


@pytest.mark.parametrize("size", SIZES)
def test_controls_are_large_and_named(open_map: Callable[..., Page], season: SeasonResult, size: str) -> None:
    page = open_map(season, size)
    set_slider(page, "#day", day_number("2026-07-10"))
    set_slider(page, "#year", 2024)
    page.locator(".year-names > summary").click()
    small = page.locator("#panel-time :is(button, summary, input[type=range], label)").evaluate_all(
        "all => all.filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect())"
        ".filter((box) => box.height < 44 || box.width < 44).length"
    )
    assert small == 0
    for name in ("Day of the season", "Year of the records"):
        expect(page.get_by_role("slider", name=name)).to_be_visible()
    assert page.locator("#panel-time").evaluate(
        "panel => [...panel.querySelectorAll('*')].filter((one) => one.checkVisibility() && one.textContent.trim())"
        ".every((one) => parseFloat(getComputedStyle(one).fontSize) >= 12)"
    )
