"""Texts that try to run, break the build or hide: none does, and each is shown as text."""

import re
from collections.abc import Callable, Iterator
from itertools import cycle
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.model.result import SeasonResult
from geo_scout.model.visible_text import printable
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

HOSTILE = (
    "<script>window.bad=1</script>",
    "</script><script>window.bad=1</script>",
    "</script><img src=x onerror=window.bad=1>",
    "<img src=x onerror=window.bad=1>",
    "<svg onload=window.bad=1>",
    "<svg><script>window.bad=1</script></svg>",
    "<iframe srcdoc='<script>parent.bad=1</script>'>",
    "<style>*{display:none}</style>",
    "</style></title><script>window.bad=1</script>",
    "<!-- ",
    "-->",
    "<![CDATA[",
    "<base href='https://example.invalid/'>",
    "<meta http-equiv=refresh content='0;url=https://example.invalid'>",
    "<a href='javascript:window.bad=1'>x</a>",
    "javascript:window.bad=1",
    "data:text/html,<script>window.bad=1</script>",
    "{{ 7*7 }}",
    "{{ cycler.__init__.__globals__.os.getpid() }}",
    "{% raw",
    "{% for x in range(10**9) %}x{% endfor %}",
    "{#",
    "#}",
    "${window.bad=1}",
    "`${window.bad=1}`",
    "`",
    "\\",
    "\\u003cscript\\u003ewindow.bad=1\\u003c/script\\u003e",
    "&lt;script&gt;window.bad=1&lt;/script&gt;",
    "&#60;script&#62;",
    "'",
    '"',
    '"\' onmouseover="window.bad=1',
    "');window.bad=1;//",
    "];window.bad=1;[",
    '"}};window.bad=1;{{"',
    "\u202eback\u2066",
    "\u200bzero\u200dwidth\ufeff",
    "line\u2028separator\u2029here",
    "nul\x00inside",
    "bell\x07 escape\x1b[31m",
    "lone \ud800 and \udfff",
    "e\u0301\u0302\u0303" * 40,
    "\U0001f41b\U0001f33f",
    "مرحبا שלום",
    "%s %d %n",
    "=1+1",
    "__proto__",
    "constructor",
    "hasOwnProperty",
    "null",
    "W" * 10_000,
    "W " * 5_000,
)
TABS = ("weights", "whatIf", "time", "field", "sites")
TAGS = "() => document.querySelectorAll('script, img, iframe, base, meta, [onmouseover], [onerror], [onload]').length"


def test_there_are_many() -> None:
    assert len(set(HOSTILE)) >= 40


@pytest.fixture
def open_map(browser: Browser, tmp_path: Path) -> Iterator[Callable[[SeasonResult], tuple[Page, list[str]]]]:
    contexts = []

    def opened(season: SeasonResult) -> tuple[Page, list[str]]:
        write_map(tmp_path / "evil.html", season, build_tables(season, "crew"), "crew")
        contexts.append(browser.new_context(offline=True, viewport={"width": 1280, "height": 800}))
        page, said = contexts[-1].new_page(), []
        page.on(
            "request",
            lambda one: None if one.url.startswith(("file:", "data:", "blob:")) else said.append(one.url),
        )
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((tmp_path / "evil.html").as_uri())
        return page, said

    yield opened
    for context in contexts:
        context.close()


WALK = """(tabs) => {
  const headings = [];
  const read = (card) => { headings.push(document.querySelector(`${card} h2`).textContent); seasonMap.cardPlace.close(); };
  for (const role of ['source', 'release']) {
    document.querySelector(`[data-role=${role}]`).click();
    for (const fold of document.querySelectorAll('#sites details.fold')) { fold.open = true; fold.make(); }
    const sites = [...document.querySelectorAll('.site-row')].map((row) => row.dataset.site);
    for (const site of sites) { document.querySelector(`.site-row[data-site="${CSS.escape(site)}"]`).click(); read('.site-card'); }
  }
  for (const mark of ['.release-mark', '.population-mark', '.crew-mark']) { document.querySelector(mark).click(); read('.record-card'); }
  for (const tab of tabs) document.querySelector(`#tab-${tab}`).click();
  window.dispatchEvent(new Event('beforeprint'));
  window.dispatchEvent(new Event('afterprint'));
  return headings;
}"""


def _walk(page: Page) -> list[str]:
    """Open every card and tab of the page, as if printed too, and return the headings of the cards."""
    headings: list[str] = page.evaluate(WALK, list(TABS))
    page.wait_for_timeout(20)
    return headings


def _assert_nothing_ran(page: Page, said: list[str], tags_before: int) -> None:
    assert page.evaluate(TAGS) == tags_before
    assert page.evaluate(
        "() => [window.bad, document.querySelector('#sites').getClientRects().length > 0]"
    ) == [None, True]
    assert page.evaluate("document.documentElement.scrollWidth") == 1280
    assert said == []


def test_all_of_them_in_one_season(
    open_map: Callable[[SeasonResult], tuple[Page, list[str]]], make_season: Callable[..., SeasonResult]
) -> None:
    evil = cycle(HOSTILE)
    page, said = open_map(make_season(14, relief_px=0, text=lambda plain: f"{next(evil)} {plain}"))
    before = page.evaluate(TAGS)
    headings = _walk(page)
    shown = [printable(text) for text in HOSTILE]
    assert all(any(heading.startswith(one) for one in shown) for heading in headings)
    assert len({one for one in shown for heading in headings if heading.startswith(one)}) > 10
    _assert_nothing_ran(page, said, before)


@pytest.mark.slow
@pytest.mark.parametrize("evil", HOSTILE, ids=lambda evil: ascii(evil)[:24])
def test_each_of_them_in_every_text_field(
    open_map: Callable[[SeasonResult], tuple[Page, list[str]]],
    make_season: Callable[..., SeasonResult],
    evil: str,
) -> None:
    page, said = open_map(make_season(3, relief_px=0, text=lambda plain: f"{evil} {plain}"))
    shown = printable(evil)
    expect(page.locator("#title")).to_have_text(f"{shown} Pell Basin, summer 2026", use_inner_text=False)
    # A title in a browser has single spaces for any white space that HTML knows.
    whole = f"{shown} Pell Basin, summer 2026: sites of the season"
    assert page.title() == re.sub(r"[ \t\n\f\r]+", " ", whole).strip()
    before = page.evaluate(TAGS)
    assert all(heading.startswith(shown) for heading in _walk(page))
    assert page.locator(".district-name").first.text_content() == f"{shown} Lower Pell"
    assert (page.locator("#agent option").first.text_content() or "").startswith(shown)
    _assert_nothing_ran(page, said, before)
