"""How sure a rank is on a site's card, in a real browser with no network, at desktop and phone width."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

SIZES = {"wide": (1366, 900), "narrow": (375, 812)}
WHY = "Ranks 1 of 4, with a score of 0.790. Its largest part is infested area of the patch (5.88 ha)."
CHANGE = "It would drop out of the first 10 if host area were 0.6 ha instead of 5.9 ha."
TOLD: dict[str, object] = {
    "rank_low": pd.array([1], dtype="Int64")[0],
    "rank_high": pd.array([4], dtype="Int64")[0],
    "top_n_share": 0.9326,
    "why_here": WHY,
    "what_would_change_it": CHANGE,
}


def _with(season: SeasonResult, columns: dict[str, object]) -> SeasonResult:
    """Return the season with the same columns at every ranked site; those left out keep their way back."""
    rankings = []
    for one in season.rankings:
        table, is_ranked = one.table.copy(), one.table["status"] == "ranked"
        for name, told in columns.items():
            old: Any = table.get(name, "")
            blank: Any = old if name == "what_would_change_it" else (None if isinstance(told, float) else "")
            if name.startswith("rank_"):
                table[name] = pd.array([told if ranked else pd.NA for ranked in is_ranked], dtype="Int64")
            else:
                table[name] = pd.Series(told, index=table.index).where(is_ranked, blank)
        rankings.append(replace(one, table=table))
    return replace(season, rankings=tuple(rankings))


@pytest.fixture
def open_map(browser: Browser, season: SeasonResult, tmp_path: Path) -> Iterator[Callable[..., Page]]:
    contexts = []

    def open_(columns: dict[str, object], size: str = "wide", audience: Audience = "crew") -> Page:
        made = _with(season, columns)
        write_map(tmp_path / "map.html", made, build_tables(made, audience), audience)
        width, height = SIZES[size]
        context = browser.new_context(offline=True, viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((tmp_path / "map.html").as_uri())
        page.locator(".site-row").first.click()
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert page.evaluate("window.bad") is None
        assert said == []
        return page

    yield open_
    for context in contexts:
        context.close()


@pytest.mark.parametrize("audience", ["crew", "public"])
@pytest.mark.parametrize("size", SIZES)
def test_a_card_tells_how_sure_the_rank_is_why_and_what_would_change_it(
    open_map: Callable[..., Page], size: str, audience: Audience
) -> None:
    card = open_map(TOLD, size, audience).locator(".site-card")
    text = card.inner_text()
    for said in (
        "How sure is the rank?",
        "Rank, in 9 of 10 draws",
        "1 to 4",
        "Among the first",
        "in 93\u00a0% of the draws",
        "Why it is here",
        WHY,
        "What would change it",
        CHANGE,
    ):
        assert said in text, said
    assert "What would bring it back" not in text


def test_the_card_beside_the_map_tells_the_same(open_map: Callable[..., Page]) -> None:
    page = open_map(TOLD)
    assert page.locator("#card .site-card").count() == 1
    assert WHY in page.locator("#card .site-card").inner_text()


def test_all_draws_are_all_and_one_rank_is_one(open_map: Callable[..., Page]) -> None:
    text = open_map({**TOLD, "top_n_share": 1.0, "rank_high": 1}).locator(".site-card").inner_text()
    assert "in all draws" in text
    assert "1 to" not in text.split("Why it is here", maxsplit=1)[0].split("How sure", maxsplit=1)[1]
    assert "in more than 99\u00a0% of the draws" in (
        open_map({**TOLD, "top_n_share": 0.9962}).locator(".site-card").inner_text()
    )


@pytest.mark.parametrize("size", SIZES)
def test_a_rank_that_holds_only_where_no_limit_leaves_the_site_out_says_so(
    open_map: Callable[..., Page], size: str
) -> None:
    text = open_map({**TOLD, "eligible_share": 0.714}, size).locator(".site-card").inner_text()
    assert "1 to 4, where no limit leaves it out (in 71\u00a0% of the draws)" in text
    assert (
        "no limit" not in open_map({**TOLD, "eligible_share": 1.0}, size).locator(".site-card").inner_text()
    )


def test_where_nothing_was_drawn_nothing_is_said(open_map: Callable[..., Page]) -> None:
    text = open_map({}).locator(".site-card").inner_text()
    assert not any(said in text for said in ("How sure", "Why it is here", "NaN", "null", "undefined"))


def test_a_paragraph_is_read_as_words(open_map: Callable[..., Page]) -> None:
    hostile = "<img src=x onerror=window.bad=1>{{ 7*7 }}`${window.bad=1}`"
    card = open_map({**TOLD, "why_here": hostile}).locator(".site-card")
    assert hostile in card.inner_text()
