"""The map for everybody: axe's rules of WCAG 2.2 A and AA at both widths, light and dark, in each state."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"wide": (1280, 800), "narrow": (375, 740)}
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
TABS = ("sites", "weights", "whatIf", "time", "field")


@pytest.fixture(scope="module")
def map_file(season: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("map") / "map.html"
    write_map(path, season, build_tables(season, "crew"), "crew")
    return path


@pytest.fixture(params=[f"{size} {theme}" for size in SIZES for theme in ("light", "dark")])
def page(browser: Browser, map_file: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    size, theme = request.param.split()
    width, height = SIZES[size]
    context = browser.new_context(
        offline=True, viewport={"width": width, "height": height}, color_scheme=theme
    )
    opened = context.new_page()
    opened.goto(map_file.as_uri())
    expect(opened.locator("html")).to_have_attribute("data-theme", theme)
    yield opened
    context.close()


def _broken(page: Page) -> list[str]:
    found = Axe().run(page, options=RULES).response
    return [
        f"{rule['id']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


def test_axe_finds_nothing_in_any_state(page: Page) -> None:
    assert _broken(page) == []
    for fold in page.locator("#filters > summary, #sites details.fold > summary, #layers > summary").all():
        fold.click()
    assert _broken(page) == []
    page.locator("#layers > summary").click()
    for role in ("source", "release"):
        page.locator(f"[data-role={role}]").click()
        page.locator(".site-row").first.click()
        assert _broken(page) == []
        page.keyboard.press("Escape")
    page.evaluate("() => seasonMap.weights.set('release', [0, 0, 0, 1, 0])")
    for tab in TABS:
        page.locator(f"#tab-{tab}").click()
        assert _broken(page) == [], tab


def test_the_detector_sees_what_is_wrong(page: Page) -> None:
    page.evaluate("() => document.querySelector('#search').closest('label').querySelector('span').remove()")
    assert any(found.startswith("label") for found in _broken(page))


def test_the_keyboard_reaches_everything(page: Page) -> None:
    """Every control that can be clicked can be reached by Tab, but for tabs, which arrows reach."""
    page.locator("body").press("Tab")
    reached = set()
    for _ in range(400):
        here = page.evaluate(
            "() => { const n = document.activeElement; if (!n.dataset.seen) n.dataset.seen = Math.random(); return n.dataset.seen; }"
        )
        if here in reached and len(reached) > 5:
            break
        reached.add(here)
        page.keyboard.press("Tab")
    missed = page.evaluate(
        """() => [...document.querySelectorAll('button, select, input, summary, a[href]')]
          .filter((node) => node.checkVisibility() && !node.disabled && !node.dataset.seen && node.tabIndex >= 0)
          .filter((node) => node.getAttribute('role') !== 'tab')
          .map((node) => node.outerHTML.slice(0, 120))"""
    )
    assert missed == []
    page.locator("#tab-sites").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#tab-weights")).to_be_focused()
    expect(page.locator("#panel-weights")).to_be_visible()
    page.keyboard.press("Home")
    expect(page.locator("#panel-sites")).to_be_visible()


def test_focus_stays_when_the_list_is_made_anew(page: Page) -> None:
    page.locator(".site-row").nth(1).focus()
    site = page.locator(".site-row").nth(1).get_attribute("data-site")
    page.evaluate("() => seasonMap.weights.set('release', [0, 0, 0, 1, 0])")
    assert page.evaluate("() => document.activeElement.dataset.site") == site
    page.locator("#search").focus()
    page.keyboard.type("e", delay=5)
    expect(page.locator("#search")).to_be_focused()
    page.locator("#tab-weights").click()
    page.locator("#weight-host_area").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#weight-host_area")).to_be_focused()


@pytest.mark.parametrize("kind", ["deuteranopia", "protanopia", "tritanopia", "achromatopsia"])
def test_shapes_and_words_carry_what_colour_does(page: Page, kind: str, tmp_path: Path) -> None:
    """Colours are taken away by the browser; ranks, shapes and words are still there to be looked at."""
    client = page.context.new_cdp_session(page)
    client.send("Emulation.setEmulatedVisionDeficiency", {"type": kind})
    page.screenshot(path=str(tmp_path / f"{kind}.png"))
    shapes = page.evaluate(
        """() => ['flag', 'dot', 'cross', 'scout'].map((name) => seasonMap.symbols[name]('release', 1, 0.9))
          .concat(['found', 'not found', 'not visited'].map((outcome) => seasonMap.symbols.release(outcome)))
          .map((svg) => [...svg.querySelectorAll('*')].map((node) => node.tagName + (node.getAttribute('d') || '')).join(' '))"""
    )
    assert len(set(shapes)) == len(shapes)
