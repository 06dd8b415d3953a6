"""A season on both sides of the 180th meridian: one map, short ways, and figures from -180 to 180."""

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

import gpxpy
import pandas as pd
import pytest
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Browser, BrowserContext, FloatRect, Locator, Page, expect

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables
from tests.season_across_180 import season_across_180

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WIDE, PHONE = {"width": 1280, "height": 800}, {"width": 375, "height": 740}
DEGREES = re.compile(r"(-?\d+\.\d{6}), (-?\d+\.\d{6})")


@pytest.fixture(scope="module")
def across() -> SeasonResult:
    return season_across_180()


@pytest.fixture(scope="module")
def map_file(across: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("across") / "map.html"
    write_map(path, across, build_tables(across, "crew"), "crew")
    return path


def _context(browser: Browser, viewport: dict[str, int]) -> BrowserContext:
    return browser.new_context(
        offline=True,
        viewport={"width": viewport["width"], "height": viewport["height"]},
        geolocation={"latitude": 46.02, "longitude": -179.95, "accuracy": 20},
        permissions=["geolocation"],
    )


def _opened(context: BrowserContext, path: Path) -> Page:
    page = context.new_page()
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-ready]")
    return page


@pytest.fixture
def page(browser: Browser, map_file: Path) -> Iterator[Page]:
    context = _context(browser, WIDE)
    yield _opened(context, map_file)
    context.close()


@pytest.fixture
def ranked(across: SeasonResult) -> pd.DataFrame:
    table = build_tables(across, "crew")["release"]
    mine = table[(table["agent"] == across.season.agents[0].name) & (table["status"] == "ranked")]
    assert mine["longitude_deg"].min() < -179.5
    assert mine["longitude_deg"].max() > 179.5
    return mine


def _box(locator: Locator) -> FloatRect:
    box = locator.bounding_box()
    assert box is not None
    return box


def _assert_in_sight(page: Page, marks: Locator) -> None:
    frame = _box(page.locator("#map_season"))
    for mark in marks.all():
        box = _box(mark)
        assert frame["x"] <= box["x"]
        assert box["x"] + box["width"] <= frame["x"] + frame["width"]
        assert frame["y"] <= box["y"]
        assert box["y"] + box["height"] <= frame["y"] + frame["height"]


@pytest.mark.parametrize("viewport", [WIDE, PHONE])
def test_at_the_start_all_flags_are_in_sight(
    browser: Browser, map_file: Path, ranked: pd.DataFrame, viewport: dict[str, int]
) -> None:
    context = _context(browser, viewport)
    page = _opened(context, map_file)
    flags = page.locator(".leaflet-marker-pane .site-mark")
    expect(flags).to_have_count(len(ranked))
    _assert_in_sight(page, flags)
    middles = [_box(flag)["x"] for flag in flags.all()]
    assert max(middles) - min(middles) > viewport["width"] / 5  # spread over the map, not heaped on one spot
    context.close()


def test_patches_roads_and_the_relief_are_drawn_whole_beside_each_other(page: Page) -> None:
    frame = _box(page.locator("#map_season"))
    shapes = page.locator("path.site-patch, .leaflet-overlay-pane path:not([d='M0 0'])")
    widths = [_box(shape)["width"] for shape in shapes.all() if shape.get_attribute("d")]
    assert len(widths) > 15
    assert max(widths) < 2.5 * frame["width"]
    relief = _box(page.locator("img.relief-image").first)
    assert relief["x"] < frame["x"] + frame["width"] / 3
    assert relief["x"] + relief["width"] > frame["x"] + 2 * frame["width"] / 3
    for crew in page.locator(".crew-mark").all():
        assert frame["x"] <= _box(crew)["x"] <= frame["x"] + frame["width"]


def test_cards_and_lists_tell_degrees_as_the_tables_have_them(page: Page, ranked: pd.DataFrame) -> None:
    for site in ranked.itertuples():
        page.locator(f"#sites [data-site='{site.site_id}']").first.click()
        card = page.locator("#card")
        expect(card).to_contain_text(f"{site.latitude_deg:.6f}, {site.longitude_deg:.6f}")
        address = card.locator("a.geo").get_attribute("href")
        assert address is not None
        latitude_deg, longitude_deg = (float(part) for part in address.removeprefix("geo:").split(","))
        assert (latitude_deg, longitude_deg) == (site.latitude_deg, site.longitude_deg)


def test_any_point_tells_degrees_and_its_own_zone(page: Page) -> None:
    told = []
    for x in (440, 520, 600, 700):
        page.mouse.click(x, 380, button="right")
        card = page.locator("#card .point-card")
        found = DEGREES.search(card.inner_text())
        assert found is not None
        longitude_deg = float(found[2])
        told.append(longitude_deg)
        assert 179 < abs(longitude_deg) <= 180
        expect(card.get_by_text(re.compile("^60N" if longitude_deg > 0 else "^1N"))).to_have_count(1)
        assert f",{found[2]}" in (card.locator("a.geo").get_attribute("href") or "")
    assert min(told) < 0 < max(told)


def _downloaded(page: Page, label: str) -> bytes:
    page.locator("#tab-field").click()
    with page.expect_download() as waiting:
        page.locator("#panel-field").get_by_role("button", name=re.compile(label)).click()
    return Path(waiting.value.path()).read_bytes()


def test_files_hold_the_longitudes_of_the_tables(page: Page, ranked: pd.DataFrame) -> None:
    waypoints = gpxpy.parse(_downloaded(page, "^Waypoints").decode("utf-8")).waypoints
    assert [one.longitude for one in waypoints] == ranked["longitude_deg"].tolist()
    rows = csv.DictReader(io.StringIO(_downloaded(page, r"^List \(CSV\)").decode("utf-8-sig")))
    assert [float(row["longitude_deg"]) for row in rows] == ranked["longitude_deg"].tolist()


def test_a_note_keeps_the_longitude_of_its_site_and_of_its_writer(page: Page, ranked: pd.DataFrame) -> None:
    east = ranked[ranked["longitude_deg"] < 0].iloc[0]
    page.locator("#where-am-i").click()
    _assert_in_sight(page, page.locator("path.field-dot.is-me"))
    for own in (False, True):
        page.locator("#tab-sites").click()
        page.locator(f"#sites [data-site='{east['site_id']}']").first.click()
        page.locator("#card").get_by_role("button", name="Write a note").click()
        page.get_by_label("Found", exact=True).check()
        page.locator("#note-attach").set_checked(own)
        page.get_by_role("button", name="Keep this note").click()
    text = _downloaded(page, r"^Save all notes \(CSV\)").decode("utf-8-sig")
    noted = sorted(float(row["longitude_deg"]) for row in csv.DictReader(io.StringIO(text)))
    assert noted == sorted([east["longitude_deg"], -179.95])


def _said_m(text: str) -> float:
    found = re.search(r"([\d.,]+)\s(k?m)\b", text)
    assert found, text
    return float(found[1].replace(",", "")) * (1000 if found[2] == "km" else 1)


def test_a_way_across_the_meridian_is_measured_and_drawn_the_short_way(page: Page) -> None:
    script = "xy => { const at = map_season.containerPointToLatLng(xy); return [at.lat, at.lng]; }"
    taps = [(440, 300), (700, 420)]
    start, goal = (page.evaluate(script, list(tap)) for tap in taps)
    page.locator("#measure").click()
    for tap in taps:
        page.mouse.click(*tap)
    expected_m = Geodesic.WGS84.Inverse(*start, *goal)["s12"]
    assert expected_m < 100_000
    bar = page.get_by_role("group", name="Measure")
    assert _said_m(bar.locator("p").inner_text()) == pytest.approx(expected_m, rel=0.006)
    line = _box(page.locator("path.field-line").last)
    assert line["width"] == pytest.approx(260, abs=8)


def test_a_circle_typed_beyond_the_meridian_is_drawn_there(page: Page) -> None:
    page.locator("#tab-whatIf").click()
    page.locator("#circle-centre").fill("46.0, -179.9")
    page.locator("#circle-km").fill("4")
    page.locator("#circle-km").press("Enter")
    _assert_in_sight(page, page.locator("path.circle-line").last)


def test_a_large_season_frames_its_flags_too(browser: Browser, tmp_path: Path) -> None:
    season = season_across_180(sites_per_host=1001)
    path = tmp_path / "map.html"
    write_map(path, season, build_tables(season, "crew"), "crew")
    context = _context(browser, WIDE)
    page = _opened(context, path)
    flags = page.locator(".leaflet-marker-pane .leaflet-marker-icon")
    assert flags.count() >= 10
    _assert_in_sight(page, flags)
    frame = _box(page.locator("#map_season"))
    painted = page.evaluate(
        """() => { const canvas = document.querySelector('canvas.bulk-patches');
        const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
        const columns = new Set();
        for (let at = 3; at < data.length; at += 4) if (data[at] > 0) columns.add(((at - 3) / 4) % canvas.width);
        return columns.size / canvas.width * canvas.getBoundingClientRect().width; }"""
    )
    assert painted > frame["width"] / 2
    context.close()
