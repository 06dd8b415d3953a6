"""What the map says of whether the agent lives somewhere, and of visits worth making, in a real browser."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.scouting import ScoutingList
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

SIZES = {"wide": (1366, 900), "narrow": (375, 812)}
HOSTILE = "<img src=x onerror=window.bad=1>{{ 7*7 }}`${window.bad=1}`"


def _visits(
    season: SeasonResult, worth: dict[str, float], why: str = "never visited; even chances"
) -> SeasonResult:
    """Return the season with visits to its first agent's sources, in the order given."""
    agent = season.season.agents[0].name
    table = pd.DataFrame(
        {
            "site_id": list(worth),
            "visit_worth": list(worth.values()),
            "why": why,
            "sign": "adults in the net",
            "methods": "sweep net",
            "sign_first_day": pd.Timestamp("2026-06-01"),
            "sign_last_day": pd.Timestamp("2026-07-19"),
            "what_to_check": "permission: unknown",
        }
    )
    return replace(season, scouting=(ScoutingList(agent, "source", table),))


@pytest.fixture
def open_map(browser: Browser, tmp_path: Path) -> Iterator[Callable[..., Page]]:
    contexts, said = [], []

    def opened(made: SeasonResult, size: str = "wide", audience: Audience = "crew") -> Page:
        write_map(tmp_path / "map.html", made, build_tables(made, audience), audience)
        width, height = SIZES[size]
        context = browser.new_context(offline=True, viewport={"width": width, "height": height})
        contexts.append(context)
        page: Page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((tmp_path / "map.html").as_uri())
        return page

    yield opened
    for context in contexts:
        page = context.pages[0]
        assert page.evaluate("document.documentElement.scrollWidth") == page.viewport_size["width"]
        assert page.evaluate("window.bad") is None
        context.close()
    assert said == []


def _card_of(page: Page, role: str, site_id: str) -> str:
    page.locator(f"[data-role={role}]").click()
    page.evaluate("siteId => seasonMap.state.choose(siteId, 'list')", site_id)
    return page.locator(".site-card").inner_text()


def _release_card(page: Page, release_id: str) -> str:
    page.evaluate(
        """id => {
          const { releases, visits } = seasonMap.data.records[0];
          const release = releases.find((one) => one.release_id === id);
          const card = seasonMap.recordCard.release(release, visits.filter((one) => one.release_id === id));
          seasonMap.cardPlace.showRecord(L.latLng(release.latitude_deg, release.longitude_deg), card);
        }""",
        release_id,
    )
    return page.locator(".record-card").inner_text()


@pytest.mark.parametrize("size", SIZES)
def test_a_card_says_state_chance_and_whether_the_gap_is_crossed(
    open_map: Callable[..., Page], season: SeasonResult, size: str
) -> None:
    sites = season.evidence[season.season.agents[0].name].sites
    possible, confirmed = (
        sites.loc[sites["state"] == one, "site_id"].iloc[0] for one in ("possible", "confirmed")
    )
    page = open_map(season, size)
    text = _card_of(page, "release", possible)
    for said in (
        "Is the agent there?",
        "possible (2024)",
        "50\u00a0% (30 to 70\u00a0%)",
        "Corrie Bend, 3.3\u00a0km from edge to edge; whether the agent crosses such a gap is not known",
        "Release of 2020, herbicide T4",
    ):
        assert said in text, said
    text = _card_of(page, "release", confirmed)
    assert "confirmed (2024)" in text
    assert "from edge to edge" not in text  # it lives here


def test_a_release_tells_its_state_and_its_timeline(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    releases = season.evidence[season.season.agents[0].name].releases
    lost = releases.loc[releases["state"] == "lost", "release_id"].iloc[0]
    text = _release_card(open_map(season), lost)
    assert "lost (2023)" in text
    assert "<1\u00a0% (0 to 20\u00a0%)" in text
    timeline = [
        "15 June 2020: released",
        "14 May 2023: destroyed on record",
        "30 June 2024: not found, sweep net, 1.5\u00a0h, says nothing: it cannot be seen",
    ]
    assert text[text.index("Timeline") :].split("\n")[-3:] == timeline


def test_the_public_reads_neither_days_of_treatment_nor_what_a_state_rests_on(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    releases = season.evidence[season.season.agents[0].name].releases
    lost = releases.loc[releases["state"] == "lost", "release_id"].iloc[0]
    source = season.rankings[1].table["site_id"].iloc[-1]
    page = open_map(_visits(season, {source: 1.0}), audience="public")
    text = _release_card(page, lost)
    assert "lost (2023)" in text
    assert "destroyed" not in text
    content = page.content()
    assert "2023-05-14" not in content
    assert "herbicide T4" not in content
    assert "permission: unknown" not in content


def test_visits_worth_something_come_in_their_order_and_say_why(
    open_map: Callable[..., Page], season: SeasonResult
) -> None:
    table = season.rankings[1].table
    out = table.loc[table["status"] == "left out", "site_id"].tolist()
    page = open_map(_visits(season, {out[2]: 0.4, out[0]: 0.1, out[1]: 0.0}))
    page.locator("[data-role=source]").click()
    fold = page.locator("details.fold").first
    assert "Worth scouting (2)" in fold.inner_text()
    fold.locator("summary").click()
    assert "The visit worth most per hour comes first." in fold.inner_text()
    rows = fold.locator(".site-row")
    assert rows.evaluate_all("rows => rows.map((row) => row.dataset.site)") == [out[2], out[0]]
    text = _card_of(page, "source", out[2])
    for said in ("Worth a visit", "Never visited; even chances", "adults in the net, by sweep net",
                 "1 June 2026 to 19 July 2026", "permission: unknown"):  # fmt: skip
        assert said in text, said
    assert "Worth a visit" not in _card_of(page, "source", out[1])


def test_words_of_a_record_are_read_as_words(
    open_map: Callable[..., Page], make_season: Callable[..., SeasonResult]
) -> None:
    hostile = make_season(text=lambda plain: f"{plain} {HOSTILE}")
    source = hostile.rankings[1].table["site_id"].iloc[-1]
    page = open_map(_visits(hostile, {source: 1.0}, why=HOSTILE))
    text = _card_of(page, "source", source)
    assert "window.bad=1>{{ 7*7 }}" in text[text.index("Worth a visit") :]
    first = hostile.evidence[hostile.season.agents[0].name].releases["release_id"].iloc[1]
    assert "says nothing: it cannot be seen <img" in _release_card(page, str(first))
