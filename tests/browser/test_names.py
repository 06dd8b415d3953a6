"""Names of districts and places on the map: none lies on another, the less important make room, and all is text."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely
from playwright.sync_api import Browser, Page, expect

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = [pytest.mark.browser, pytest.mark.slow]

LEAST_TEXT_PX = 13
BOXES = """() => [...document.querySelectorAll('.place-name span, .district-name span, .crew-name span')]
    .map((span) => [span.parentElement.className, span.textContent, span.getBoundingClientRect()])
    .filter(([, , box]) => box.width > 0)
    .map(([kind, text, box]) => [kind.match(/(place|district|crew)-name/)[1], text, box.left, box.top, box.right, box.bottom])"""
ZOOM = "(zoom) => seasonMap.layers.map.setZoom(zoom, {animate: false})"
Opener = Callable[..., Page]


@pytest.fixture
def open_map(browser: Browser, tmp_path: Path) -> Iterator[Opener]:
    opened = []

    def open_it(season: SeasonResult, width: int = 1280, height: int = 800) -> Page:
        path = tmp_path / f"map{len(opened)}.html"
        write_map(path, season, build_tables(season, "crew"), "crew")
        context = browser.new_context(offline=True, viewport={"width": width, "height": height})
        opened.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: pytest.fail(str(error)))
        page.goto(path.as_uri())
        settled(page)
        return page

    yield open_it
    for context in opened:
        context.close()


def settled(page: Page) -> None:
    """Wait until what waits for the next picture has been done."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def with_places(season: SeasonResult, named: list[tuple[str, float, float]]) -> SeasonResult:
    points = [shapely.Point(east_m, north_m) for _, east_m, north_m in named]
    frame = gpd.GeoDataFrame({"name": [name for name, _, _ in named]}, geometry=points, crs=season.layers.crs)
    return replace(season, layers=replace(season.layers, vectors={**season.layers.vectors, "places": frame}))


def shown(page: Page) -> list[str]:
    return [text for kind, text, *_ in page.evaluate(BOXES) if kind == "place"]


@pytest.fixture(scope="module")
def crowd(season: SeasonResult) -> SeasonResult:
    """Return the season with 300 places where its sites are."""
    places = np.random.default_rng(5).uniform(-20_000, 20_000, size=(300, 2))
    return with_places(season, [(f"Place {number}", *at) for number, at in enumerate(places.tolist())])


@pytest.mark.parametrize("size", [(1280, 800), (375, 740)])
def test_no_name_lies_on_another_at_any_zoom(
    open_map: Opener, crowd: SeasonResult, size: tuple[int, int]
) -> None:
    page = open_map(crowd, *size)
    counts = []
    for zoom in (8, 9.5, 10.25, 11, 12, 13):
        page.evaluate(ZOOM, zoom)
        settled(page)
        boxes = page.evaluate(BOXES)
        counts.append(sum(kind == "place" for kind, *_ in boxes))
        for (kind, text, *one), (other_kind, other_text, *other) in combinations(boxes, 2):
            if "place" not in (kind, other_kind):
                continue  # crews and districts stand where they stand
            apart = (
                one[2] <= other[0] + 1
                or other[2] <= one[0] + 1
                or one[3] <= other[1] + 1
                or other[3] <= one[1] + 1
            )
            assert apart, (zoom, text, other_text)
    assert max(counts) > 10
    assert min(counts) < 100


def test_of_two_in_one_place_the_earlier_row_keeps_its_name(open_map: Opener, season: SeasonResult) -> None:
    # So many that the four sides of the first do not do.
    named = [(f"Far and wide {number}", -22_000.0, -17_000.0) for number in range(6)]
    page = open_map(with_places(season, named))
    assert "Far and wide 0" in shown(page)
    assert "Far and wide 5" not in shown(page)
    page = open_map(with_places(season, named[::-1]))
    assert "Far and wide 5" in shown(page)
    assert "Far and wide 0" not in shown(page)


def test_names_come_with_the_room_that_a_nearer_look_gives(open_map: Opener, season: SeasonResult) -> None:
    named = [(f"Hut {number}", -20_000.0 + 700 * number, -17_000.0) for number in range(6)]
    page = open_map(with_places(season, named))
    page.evaluate(ZOOM, 8)
    settled(page)
    few = len(shown(page))
    place = page.evaluate(
        "() => seasonMap.data.places.map((one) => [one.latitude_deg, one.longitude_deg])[2]"
    )
    page.evaluate("(place) => seasonMap.layers.map.setView(place, 14, {animate: false})", place)
    settled(page)
    assert 0 < few < 6
    assert sorted(shown(page)) == [f"Hut {number}" for number in range(6)]


def test_no_name_comes_or_goes_while_the_map_is_moved(open_map: Opener, crowd: SeasonResult) -> None:
    page = open_map(crowd)
    page.evaluate(ZOOM, 11)
    settled(page)
    inside = """() => { const map = seasonMap.layers.map; return seasonMap.data.places
        .filter((one) => map.getBounds().pad(-0.25).contains([one.latitude_deg, one.longitude_deg])).map((one) => one.name); }"""
    before, seen = set(shown(page)), set(page.evaluate(inside))
    page.evaluate("() => seasonMap.layers.map.panBy([120, 80], {animate: false})")
    settled(page)
    both = seen & set(page.evaluate(inside))
    assert len(both) > 20
    assert both & before == both & set(shown(page))


def test_a_name_at_a_crew_base_stands_beside_both(open_map: Opener, season: SeasonResult) -> None:
    crew = season.season.settings.crews[0]
    point = gpd.GeoSeries([shapely.Point(crew.base_longitude_deg, crew.base_latitude_deg)], crs=4326)
    east_m, north_m = point.to_crs(season.layers.crs).get_coordinates().iloc[0]
    page = open_map(with_places(season, [("Old town", east_m, north_m)]))
    expect(page.locator(".place-name", has_text="Old town")).to_have_count(1)
    mark = page.locator(".crew-mark").first.bounding_box()
    name = page.locator(".place-name span").bounding_box()
    assert mark is not None
    assert name is not None
    assert (
        name["x"] + name["width"] <= mark["x"] + 1
        or name["y"] + name["height"] <= mark["y"] + 1
        or name["y"] >= mark["y"] + mark["height"] - 1
    )


def test_names_are_upright_large_enough_and_in_the_colours_of_the_theme(
    open_map: Opener, season: SeasonResult
) -> None:
    for size in ((1280, 800), (375, 740)):
        page = open_map(season, *size)
        looks = page.locator(".place-name span").first.evaluate(
            "(span) => { const style = getComputedStyle(span); return [parseFloat(style.fontSize), style.fontStyle, style.textShadow, style.color]; }"
        )
        assert looks[0] >= LEAST_TEXT_PX
        assert looks[1] == "normal"
        assert looks[2] != "none"
        ink = page.evaluate(
            "() => { const probe = document.createElement('i'); probe.style.color = 'var(--ink)'; document.body.append(probe); return getComputedStyle(probe).color; }"
        )
        assert looks[3] == ink


def test_one_switch_takes_all_names_away(open_map: Opener, season: SeasonResult) -> None:
    page = open_map(season)
    assert shown(page)
    page.locator("#layers summary").click()
    page.get_by_label("Names of districts and places").uncheck()
    expect(page.locator(".place-name, .district-name")).to_have_count(0)
    page.get_by_label("Names of districts and places").check()
    assert shown(page)


def test_long_and_hostile_names_are_cut_and_stay_text(open_map: Opener, season: SeasonResult) -> None:
    evil = ["<img src=x onerror=bad()>", "{{ 7 * 191 }}", "x" * 10_000, "</script><b>", "a\nb"]
    page = open_map(
        with_places(season, [(name, -24_000.0 + 9_000 * at, -16_000.0) for at, name in enumerate(evil)])
    )
    seen, widths = set(), []
    for number in range(len(evil)):
        page.evaluate(
            """(number) => { const { latitude_deg, longitude_deg } = seasonMap.data.places[number];
                seasonMap.layers.map.setView([latitude_deg, longitude_deg], 13, {animate: false}); }""",
            number,
        )
        settled(page)
        seen |= set(shown(page))
        widths += [right - left for kind, _, left, _, right, _ in page.evaluate(BOXES) if kind == "place"]
    assert seen == set(evil)
    assert page.locator(".place-name img, .place-name b").count() == 0
    assert max(widths) <= 201


def test_water_has_its_line_in_the_legend_and_its_switch(open_map: Opener, season: SeasonResult) -> None:
    page = open_map(season)
    expect(page.locator("#legend")).to_contain_text("Stream or lake")
    page.locator("#layers summary").click()
    page.get_by_label("Streams and lakes").uncheck()
    expect(page.locator("#legend")).not_to_contain_text("Stream or lake")


def test_ten_thousand_places_find_their_room_in_a_moment(open_map: Opener, season: SeasonResult) -> None:
    places = np.random.default_rng(6).uniform(-60_000, 60_000, size=(10_000, 2))
    page = open_map(
        with_places(season, [(f"Place {number}", *at) for number, at in enumerate(places.tolist())])
    )
    took_ms = page.evaluate(
        "() => { const start = performance.now(); seasonMap.layers.map.setZoom(10, {animate: false}); return performance.now() - start; }"
    )
    assert took_ms < 1_500
    assert page.locator(".place-name").count() < 2_000
