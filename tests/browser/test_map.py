"""The map in a real browser with no network: what a person sees and can do."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import folium
import pandas as pd
import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, expect
from pyproj import Transformer

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

SIZES = {"wide": (1280, 800), "narrow": (375, 740)}


@dataclass
class Watch:
    """Everything a page did that it should not do."""

    requests: list[str] = field(default_factory=list)
    console: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def follow(self, page: Page) -> None:
        page.on("request", self._request)
        page.on("console", self._message)
        page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _request(self, request: Request) -> None:
        if not request.url.startswith(("file:", "data:", "blob:")):
            self.requests.append(request.url)

    def _message(self, message: ConsoleMessage) -> None:
        self.console.append(message.text)

    def assert_quiet(self) -> None:
        assert (self.requests, self.console, self.errors) == ([], [], [])


Opener = Callable[..., tuple[Page, Watch]]


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Opener]:
    contexts = []

    def opened(path: Path, size: str = "wide") -> tuple[Page, Watch]:
        width, height = SIZES[size]
        is_phone = size == "narrow"
        context = browser.new_context(
            offline=True, viewport={"width": width, "height": height}, is_mobile=is_phone, has_touch=is_phone
        )
        contexts.append(context)
        page, watch = context.new_page(), Watch()
        watch.follow(page)
        page.goto(path.as_uri())
        return page, watch

    yield opened
    for context in contexts:
        context.close()


def _write(path: Path, season: SeasonResult) -> Path:
    write_map(path, season, build_tables(season, "crew"), "crew")
    return path


@pytest.fixture(scope="module")
def map_file(season: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _write(tmp_path_factory.mktemp("map") / "map.html", season)


def _table(season: SeasonResult, number: int) -> pd.DataFrame:
    ranking = season.rankings[number]
    table = build_tables(season, "crew")[ranking.role]
    return table[table["agent"] == ranking.agent]


def _rows(page: Page) -> list[str]:
    return page.eval_on_selector_all(".site-row", "rows => rows.map((row) => row.dataset.site)")


@pytest.mark.parametrize("size", SIZES)
def test_it_opens_without_a_network_and_without_a_word(
    open_page: Opener, map_file: Path, season: SeasonResult, size: str, tmp_path: Path
) -> None:
    page, watch = open_page(map_file, size)
    host = season.season.agents[0].host
    expect(page.locator("path.site-patch")).to_have_count(len(season.sites[host]))
    expect(page.locator(".site-mark")).to_have_count(len(season.sites[host]))
    relief = page.locator("img.leaflet-image-layer")
    expect(relief).to_be_visible()
    assert relief.evaluate("image => image.complete && image.naturalWidth") == 96
    evidence = season.evidence[season.season.agents[0].name]
    expect(page.locator(".release-mark")).to_have_count(len(evidence.releases))
    expect(page.locator(".population-mark")).to_have_count(len(evidence.populations))
    expect(page.locator(".crew-mark")).to_have_count(2)
    expect(page.locator(".district-name")).to_have_count(2)
    assert page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
    page.screenshot(path=str(tmp_path / f"{size}.png"))
    watch.assert_quiet()


CENTRES = """(selector) => [...document.querySelectorAll(selector)].map((node) => {
  const box = node.getBoundingClientRect();
  return [box.left + box.width / 2, box.top + box.height / 2];
})"""


def test_everything_lies_where_web_mercator_puts_it(
    open_page: Opener, map_file: Path, season: SeasonResult
) -> None:
    page, _ = open_page(map_file)
    to_mercator = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    # The two crew bases fix scale and origin; all else must follow from pyproj's projection.
    bases = season.season.settings.crews
    (west, east) = (to_mercator.transform(base.base_longitude_deg, base.base_latitude_deg) for base in bases)
    (west_px, east_px) = page.evaluate(CENTRES, ".crew-mark")
    px_per_m = (east_px[0] - west_px[0]) / (east[0] - west[0])
    assert (east_px[1] - west_px[1]) / (west[1] - east[1]) == pytest.approx(px_per_m, rel=0.01)

    def on_screen(easting_m: float, northing_m: float) -> tuple[float, float]:
        return west_px[0] + (easting_m - west[0]) * px_per_m, west_px[1] - (northing_m - west[1]) * px_per_m

    patches = season.sites[season.season.agents[0].host].patches.set_index("site_id")
    drawn_last_first = _table(season, 0)["site_id"].to_list()[::-1]
    outlines = patches.geometry.to_crs("EPSG:3857").loc[drawn_last_first]
    for outline, found in zip(outlines, page.evaluate(CENTRES, "path.site-patch"), strict=True):
        west_m, south_m, east_m, north_m = outline.bounds
        assert found == pytest.approx(on_screen((west_m + east_m) / 2, (south_m + north_m) / 2), abs=1.6)
    assert season.relief is not None
    rows, columns = season.relief.elevation_m.shape
    grid = season.relief.transform
    middle = on_screen(grid.c + columns * grid.a / 2, grid.f + rows * grid.e / 2)
    assert page.evaluate(CENTRES, "img.leaflet-image-layer")[0] == pytest.approx(middle, abs=1.6)
    width_px = page.locator("img.leaflet-image-layer").bounding_box()["width"]  # type: ignore[index]
    assert width_px == pytest.approx(columns * grid.a * px_per_m, abs=3)


def test_a_stock_folium_map_trips_the_same_detector(open_page: Opener, tmp_path: Path) -> None:
    folium.Map(location=[46, -117]).save(str(tmp_path / "stock.html"))
    page, watch = open_page(tmp_path / "stock.html")
    page.wait_for_timeout(300)
    assert watch.requests
    assert watch.errors
    with pytest.raises(AssertionError):
        watch.assert_quiet()


@pytest.mark.parametrize("number", range(4))
def test_the_list_has_the_order_of_the_table(
    open_page: Opener, map_file: Path, season: SeasonResult, number: int
) -> None:
    page, watch = open_page(map_file)
    page.locator("#agent").select_option(index=number // 2)
    page.locator(f"[data-role={season.rankings[number].role}]").click()
    table = _table(season, number)
    ranked = table[table["status"] == "ranked"]
    assert _rows(page) == ranked["site_id"].to_list()
    for fold in page.locator("details.fold[data-group] > summary").all():
        fold.click()
    page.wait_for_timeout(50)
    assert sorted(_rows(page)) == sorted(table["site_id"])
    watch.assert_quiet()


@pytest.mark.parametrize("size", SIZES)
def test_a_row_opens_the_card_of_its_site(
    open_page: Opener, map_file: Path, season: SeasonResult, size: str, tmp_path: Path
) -> None:
    page, watch = open_page(map_file, size)
    place = "#card"
    ranked = _table(season, 0).query("status == 'ranked'")
    for number, site in enumerate(ranked.head(3).to_dict("records")):
        page.locator(f".site-row[data-site='{site['site_id']}']").click()
        card = page.locator(f"{place} .site-card")
        expect(card).to_have_count(1)
        expect(card.locator("h2")).to_have_text(site["name"])
        text = card.inner_text()
        assert f"Rank {number + 1} of {len(ranked)}" in text
        assert f"{site['score_low']:.3f}" in text
        assert f"{site['host_area_points']:.3f} of 0.333 points" in text
        assert f"{site['latitude_deg']:.6f}, {site['longitude_deg']:.6f}" in text
        assert f"11N {site['easting_m'] + 1e-6:.0f} E {site['northing_m'] + 1e-6:.0f} N" in text
        assert site["manager"] in text
        expect(page.locator(f".site-row[data-site='{site['site_id']}']")).to_have_attribute(
            "aria-current", "true"
        )
        expect(page.locator("path.site-patch.is-chosen")).to_have_count(1)
    page.screenshot(path=str(tmp_path / f"{size}-card.png"))
    page.keyboard.press("Escape")
    expect(page.locator(".site-card")).to_have_count(0)
    expect(page.locator("path.site-patch.is-chosen")).to_have_count(0)
    watch.assert_quiet()


def test_a_site_on_the_map_chooses_its_row(open_page: Opener, map_file: Path, season: SeasonResult) -> None:
    page, watch = open_page(map_file)
    first = _table(season, 0)["site_id"].iloc[0]
    page.locator(".site-mark", has_text=re.compile("^1$")).click()
    expect(page.locator(".site-row[aria-current=true]")).to_have_attribute("data-site", first)
    expect(page.locator("#card .site-card")).to_have_count(1)
    watch.assert_quiet()


def test_row_and_site_light_each_other_up(open_page: Opener, map_file: Path) -> None:
    page, _ = open_page(map_file)
    page.locator(".site-row").first.hover()
    expect(page.locator("path.site-patch.is-hot")).to_have_count(1)
    page.locator(".site-mark", has_text=re.compile("^2$")).hover()
    expect(page.locator(".site-row.is-hot")).to_have_count(1)
    expect(page.locator(".site-row").nth(1)).to_have_class(re.compile("is-hot"))


def test_a_site_left_out_says_why_and_what_would_bring_it_back(
    open_page: Opener, map_file: Path, season: SeasonResult
) -> None:
    page, watch = open_page(map_file)
    out = _table(season, 0).query("status == 'left out'").iloc[0]
    page.locator("summary", has_text="Left out").click()
    page.locator(f".site-row[data-site='{out['site_id']}']").click()
    text = page.locator(".site-card").inner_text()
    assert "Release site · Left out" in text
    for reason in out["reasons"].split("Left out: "):
        assert reason.strip() in text
    assert out["what_would_change_it"] in text
    assert "What the score is made of" not in text
    watch.assert_quiet()


def test_a_missing_measure_is_said_and_the_lower_end_is_the_score(
    open_page: Opener, map_file: Path, season: SeasonResult
) -> None:
    page, _ = open_page(map_file)
    ranked = _table(season, 0).query("status == 'ranked'")
    unsure = ranked[ranked["score_high"] > ranked["score_low"]].iloc[0]
    row = page.locator(f".site-row[data-site='{unsure['site_id']}']")
    expect(row).to_contain_text("a measure is missing")
    expect(row.locator(".open-end")).to_have_count(1)
    row.click()
    expect(page.locator(".site-card .figure strong")).to_have_text(f"{unsure['score_low']:.3f}")
    # The words beside it must not squeeze the number into a digit a line.
    box = page.locator(".site-card .figure strong").bounding_box()
    assert box is not None
    assert box["height"] < 40
    text = page.locator(".site-card").inner_text()
    assert (
        f"{unsure['score_low']:.3f} to {unsure['score_high']:.3f} of 1: not everything was measured" in text
    )
    assert "unknown of 0.222 points" in text


def test_sources_worth_scouting_stand_apart(open_page: Opener, map_file: Path, season: SeasonResult) -> None:
    page, watch = open_page(map_file)
    page.locator("[data-role=source]").click()
    codes = _table(season, 1)["exclusion_codes"].value_counts()
    fold = page.locator("details.fold", has_text="Worth scouting")
    fold.locator("summary").click()
    expect(fold.locator(".site-row")).to_have_count(int(codes["agent-not-confirmed"]))
    expect(page.locator("#legend")).to_contain_text("Worth scouting")
    first = fold.locator(".site-row").first
    assert "a release here is not visited yet" in first.text_content()  # type: ignore[operator]
    watch.assert_quiet()


def test_a_release_tells_its_outcome_and_visits(
    open_page: Opener, map_file: Path, season: SeasonResult
) -> None:
    page, watch = open_page(map_file)
    for name in ("Ranked sites", "Left out", "Confirmed populations"):  # they may lie over the release
        page.locator("#layers summary").click()
        page.get_by_role("checkbox", name=name, exact=True).uncheck()
        page.locator("#layers summary").click()
    releases = season.evidence[season.season.agents[0].name].releases
    page.locator(".release-mark").first.click(force=True)
    text = page.locator("#card .record-card").inner_text()
    assert releases["release_id"].iloc[0] in text
    assert "Agent found" in text
    assert "30 June 2024: found, sweep net, 1.5\u00a0h" in text
    watch.assert_quiet()


def test_layers_have_words_and_switch(open_page: Opener, map_file: Path) -> None:
    page, watch = open_page(map_file)
    page.locator("#layers summary").click()
    names = [name.strip() for name in page.locator("#layers label").all_inner_texts()]
    assert names == [
        "Relief", "Contour lines", "Streams and lakes", "Land the season forbids", "Land to ask about",
        "Districts", "Roads", "Ranked sites", "Worth scouting", "Left out", "Past releases",
        "Confirmed populations", "Crew bases", "Names of districts and places", "Graticule",
    ]  # fmt: skip
    page.get_by_label("Relief").uncheck()
    expect(page.locator("img.leaflet-image-layer")).to_have_count(0)
    expect(page.locator("#legend")).not_to_contain_text("Land to ask about")
    page.get_by_label("Land to ask about").check()
    expect(page.locator("#legend")).to_contain_text("Land to ask about")
    watch.assert_quiet()


def test_the_furniture_of_a_map_is_there(open_page: Opener, map_file: Path) -> None:
    page, _ = open_page(map_file)
    scale = page.locator(".leaflet-control-scale-line").all_inner_texts()
    assert [text.split()[-1] for text in scale] == ["km", "mi"]
    expect(page.get_by_label("North is up")).to_be_visible()
    expect(page.locator("#legend dl")).to_contain_text("Release: not visited")
    expect(page.locator("#title")).to_have_text("Pell Basin, summer 2026")
    expect(page.locator("#dates")).to_contain_text("As of 1 March 2026")
    expect(page.locator("#questions")).to_contain_text("STOP AND ASK: one open question")
    page.locator("summary", has_text="Before anyone goes out").click()
    expect(page.locator(".cautions li").first).to_contain_text("Permits and legal status")


def test_without_a_question_there_is_no_alarm(
    open_page: Opener, make_season: Callable[..., SeasonResult], tmp_path: Path
) -> None:
    page, watch = open_page(_write(tmp_path / "calm.html", make_season(3, relief_px=0, questions=0)))
    expect(page.locator("#questions")).to_be_hidden()
    watch.assert_quiet()


def test_a_public_copy_has_neither_crews_nor_a_word_about_them(
    open_page: Opener, season: SeasonResult, tmp_path: Path
) -> None:
    write_map(tmp_path / "public.html", season, build_tables(season, "public"), "public")
    page, watch = open_page(tmp_path / "public.html")
    expect(page.locator(".crew-mark")).to_have_count(0)
    expect(page.locator("#legend")).not_to_contain_text("Crew base")
    assert "Crew bases" not in page.locator("#layers").text_content()  # type: ignore[operator]
    page.locator(".site-row").first.click()
    facts = page.locator(".site-card dt").all_inner_texts()
    assert "Cover" in facts
    assert not {"Manager", "Permission"} & set(facts)
    watch.assert_quiet()


def test_the_keyboard_reaches_list_and_card_and_comes_back(open_page: Opener, map_file: Path) -> None:
    page, watch = open_page(map_file)
    page.locator(".site-row").nth(1).focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.tagName") == "H2"
    page.keyboard.press("Escape")
    expect(page.locator(".site-row").nth(1)).to_be_focused()
    watch.assert_quiet()


@pytest.mark.parametrize("size", SIZES)
def test_text_is_readable_and_targets_are_large(open_page: Opener, map_file: Path, size: str) -> None:
    page, _ = open_page(map_file, size)
    page.locator(".site-row").first.click()
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('body *')]
          .filter((node) => [...node.childNodes].some((child) => child.nodeType === 3 && child.data.trim()))
          .filter((node) => node.getClientRects().length && !['SCRIPT', 'STYLE'].includes(node.tagName))
          .map((node) => parseFloat(getComputedStyle(node).fontSize))"""
    )
    assert len(sizes) > 50
    assert min(sizes) >= 12
    assert page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)") >= 15
    small = page.eval_on_selector_all(
        "button, select, summary, .leaflet-control-zoom a",
        """nodes => nodes.filter((node) => node.checkVisibility())
          .map((node) => [node.textContent, node.getBoundingClientRect()])
          .filter(([, box]) => box.width < 44 || box.height < 44)
          .map(([text, box]) => `${text} ${box.width} x ${box.height}`)""",
    )
    assert small == []


def test_the_policy_stops_what_somebody_puts_in_by_hand(open_page: Opener, map_file: Path) -> None:
    page, watch = open_page(map_file)
    page.evaluate(
        """() => {
          const script = document.createElement('script');
          script.textContent = 'window.bad = 1';
          document.body.append(script);
          document.body.insertAdjacentHTML('beforeend', '<img src=x onerror="window.bad = 2">');
        }"""
    )
    page.wait_for_timeout(200)
    assert page.evaluate("window.bad") is None
    assert any("Content Security Policy" in message for message in watch.console)
