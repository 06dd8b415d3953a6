"""What lies under the sites: the relief in its place to less than a pixel, contour lines, the graticule."""

import dataclasses
import importlib.util
import io
import math
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pyproj import CRS, Transformer

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables
from geo_scout.zones.relief import warp_elevation

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"wide": (1280, 800), "narrow": (375, 740)}
TO_MERCATOR = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
WORLD_M = 2 * math.pi * 6_378_137.0
# Six degrees from the zone's middle meridian, where its grid lies askew on the map.
UTM, LONGITUDE_DEG, LATITUDE_DEG = CRS.from_epsg(32612), -117.0, 46.0


def _raster_files() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "raster_files", Path(__file__).parents[1] / "raster_files.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


Open = Callable[..., Page]


@pytest.fixture
def open_map(browser: Browser, tmp_path: Path) -> Iterator[Open]:
    contexts = []

    def opened(season: SeasonResult, size: str = "wide") -> Page:
        path = tmp_path / "map.html"
        write_map(path, season, build_tables(season, "crew"), "crew")
        width, height = SIZES[size]
        contexts.append(browser.new_context(offline=True, viewport={"width": width, "height": height}))
        page = contexts[-1].new_page()
        said: list[str] = []
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("console", lambda message: said.append(message.text))
        page.goto(path.as_uri())
        expect(page.locator("html")).to_have_attribute("data-ready", "yes")
        assert said == []
        return page

    yield opened
    for context in contexts:
        context.close()


def _marked(season: SeasonResult, folder: Path, cell_m: float, cells: int, apart_deg: float) -> SeasonResult:
    """Return the season on ground that falls in steps at every meridian and parallel of a grid.

    Each step is two cells wide; its shading is a dark line. A peak in a corner takes the whole range of
    tints, so that steps differ by their shading only.
    """
    east_m, north_m = Transformer.from_crs("EPSG:4326", UTM, always_xy=True).transform(
        LONGITUDE_DEG, LATITUDE_DEG
    )
    west_m, top_m = east_m - cells * cell_m / 2, north_m + cells * cell_m / 2
    middles_m = (np.arange(cells) + 0.5) * cell_m
    easting_m, northing_m = np.meshgrid(west_m + middles_m, top_m - middles_m)
    places_deg = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True).transform(easting_m, northing_m)
    elevation_m = np.zeros((cells, cells))
    for deg, middle_deg, m_per_deg in (
        (places_deg[0], LONGITUDE_DEG, -111_320 * math.cos(math.radians(LATITUDE_DEG))),
        (places_deg[1], LATITUDE_DEG, 111_150),
    ):
        from_line_m = ((deg - middle_deg + apart_deg / 2) % apart_deg - apart_deg / 2) * m_per_deg
        lines = np.floor((deg - middle_deg + apart_deg / 2) / apart_deg) * math.copysign(1, m_per_deg)
        elevation_m += 1.6 * cell_m * (lines + np.clip(from_line_m / (2 * cell_m), -0.5, 0.5))
    elevation_m[: cells // 6, : cells // 6] += 1500 * cell_m
    raster = _raster_files().write_raster(
        folder, elevation_m.astype("float32"), crs=UTM, west=west_m, north=top_m, cell=cell_m
    )
    margin_m = cells * cell_m * 0.1
    inner = (
        west_m + margin_m,
        top_m - cells * cell_m + margin_m,
        west_m + cells * cell_m - margin_m,
        top_m - margin_m,
    )
    return dataclasses.replace(season, relief=warp_elevation(raster, inner, UTM))


BARE = """(isPictureHidden) => {
  for (const node of document.querySelectorAll('.leaflet-pane')) {
    if (!node.matches('.leaflet-map-pane, .leaflet-overlay-pane')) node.style.display = 'none';
  }
  for (const node of document.querySelectorAll('.leaflet-overlay-pane svg, .leaflet-control, #tools')) node.style.display = 'none';
  if (isPictureHidden) document.querySelector('img.leaflet-image-layer').style.visibility = 'hidden';
}"""


def _go(page: Page, longitude_deg: float, latitude_deg: float, zoom: float) -> tuple[float, float]:
    """Show a place and return the Web Mercator metres of the map's corner, as Leaflet has them."""
    page.evaluate(
        "([lat, lon, zoom]) => { map_season.setMinZoom(3); map_season.setView([lat, lon], zoom, {animate: false}); }",
        [latitude_deg, longitude_deg, zoom],
    )
    page.evaluate(
        "() => Promise.all([...document.querySelectorAll('img.relief-image')].map((image) => image.decode()))"
    )
    page.wait_for_timeout(150)
    corner = page.evaluate(
        "(() => { const { lat, lng } = map_season.containerPointToLatLng([0, 0]); return [lng, lat]; })()"
    )
    return TO_MERCATOR.transform(*corner)


def _grey(page: Page) -> NDArray[np.float64]:
    picture = page.locator("#map_season").screenshot()
    return np.asarray(Image.open(io.BytesIO(picture)).convert("RGB"), dtype=np.float64).mean(axis=2)


def _dark_at(profile: NDArray[np.float64], near_px: float, reach_px: int) -> float:
    """Return where a dark line stands in a row of pixels, the middle of the first pixel being 0.5 [pixels]."""
    first = round(near_px) - reach_px
    part = profile[first : first + 2 * reach_px]
    ends = (part[:2].mean() + part[-2:].mean()) / 2
    dark = np.clip(ends - part - 1.0, 0, None)
    assert dark.max() > 4
    return float(first + 0.5 + (dark * np.arange(len(part))).sum() / dark.sum())


def _shifts_px(page: Page, zoom: float, cell_m: float, long_px: int = 120) -> tuple[float, float]:
    """Return how far the middle marks are drawn from where pyproj puts them: to the east, to the south."""
    corner_m = _go(page, LONGITUDE_DEG, LATITUDE_DEG, zoom)
    m_per_px = WORLD_M / 256 / 2**zoom
    easting_m, northing_m = TO_MERCATOR.transform(LONGITUDE_DEG, LATITUDE_DEG)
    x, y = (easting_m - corner_m[0]) / m_per_px, (corner_m[1] - northing_m) / m_per_px
    line_px = 2 * cell_m / math.cos(math.radians(LATITUDE_DEG)) / m_per_px
    reach_px = round(line_px) + 5
    grey = _grey(page)
    beside = (
        slice(round(y) + 2 * reach_px, round(y) + 2 * reach_px + long_px),
        slice(round(x) + 2 * reach_px, round(x) + 2 * reach_px + long_px),
    )
    return _dark_at(grey[beside[0]].mean(axis=0), x, reach_px) - x, _dark_at(
        grey[:, beside[1]].mean(axis=1), y, reach_px
    ) - y


# Cells that are neither lost nor many pixels wide, so that the middle of a mark can be told to a part of a pixel.
@pytest.mark.parametrize(
    ("cell_m", "cells", "apart_deg", "zooms"),
    [
        (1000.0, 800, 3.0, (5, 6, 7, 8.5)),
        (100.0, 1400, 0.4, (9, 10, 11.25, 12)),
        (10.0, 1400, 0.04, (12, 13, 14.25, 15)),
        (1.5, 1300, 0.006, (14.75, 15.5, 16, 17)),
    ],
)
def test_the_picture_of_the_relief_lies_where_pyproj_puts_it(
    open_map: Open, make_season: Callable[..., SeasonResult], tmp_path: Path,
    cell_m: float, cells: int, apart_deg: float, zooms: tuple[float, ...],
) -> None:  # fmt: skip
    season = _marked(make_season(3, relief_px=0), tmp_path, cell_m, cells, apart_deg)
    page = open_map(season)
    page.evaluate(BARE, False)
    assert page.locator(".leaflet-tile").count() == 0
    for zoom in zooms:
        assert np.abs(_shifts_px(page, zoom, cell_m)).max() < 1.0, zoom


@pytest.mark.parametrize(
    ("cell_m", "apart_deg", "zooms"),
    [(10.0, 0.04, (12.5, 13, 13.75, 15)), (1.5, 0.006, (15.5, 16, 16.75, 17))],
)
def test_tiles_of_the_relief_lie_where_pyproj_puts_them(
    open_map: Open, make_season: Callable[..., SeasonResult], tmp_path: Path,
    cell_m: float, apart_deg: float, zooms: tuple[float, ...],
) -> None:  # fmt: skip
    season = _marked(make_season(3, relief_px=0), tmp_path, cell_m, 3000, apart_deg)
    page = open_map(season)
    page.evaluate(BARE, True)
    for zoom in zooms:
        assert np.abs(_shifts_px(page, zoom, cell_m)).max() < 1.0, zoom
        shown = page.locator("img.leaflet-tile.relief-image").count()
        assert 0 < shown < 40
    # The picture alone is enough from afar.
    _go(page, LONGITUDE_DEG, LATITUDE_DEG, zooms[0] - 1)
    expect(page.locator("img.leaflet-tile")).to_have_count(0)


def test_tiles_meet_without_seams(
    open_map: Open, make_season: Callable[..., SeasonResult], tmp_path: Path
) -> None:
    season = _marked(make_season(3, relief_px=0), tmp_path, 10.0, 3000, 0.04)
    page = open_map(season)
    page.evaluate(BARE, False)
    for zoom in (12.75, 13.25, 13.75):
        _go(page, LONGITUDE_DEG, LATITUDE_DEG, zoom)
        grey = _grey(page)
        # The ground is flat but for steps that lie in shade: nothing is brighter than most of it.
        assert grey.max() < np.median(grey) + 10, zoom


def _tick(page: Page, name: str) -> None:
    page.evaluate("() => { document.querySelector('#layers').open = true; }")
    page.get_by_label(name, exact=True).click()
    page.evaluate("() => { document.querySelector('#layers').open = false; }")
    page.wait_for_timeout(100)


def test_tiles_go_and_come_with_the_relief(
    open_map: Open, make_season: Callable[..., SeasonResult], tmp_path: Path
) -> None:
    season = _marked(make_season(3, relief_px=0), tmp_path, 10.0, 3000, 0.04)
    page = open_map(season)
    _go(page, LONGITUDE_DEG, LATITUDE_DEG, 14)
    tiles = page.locator("img.leaflet-tile.relief-image")
    assert tiles.count() > 0
    _tick(page, "Relief")
    expect(page.locator("img.relief-image")).to_have_count(0)
    _tick(page, "Relief")
    expect(page.locator("img.leaflet-image-layer.relief-image")).to_have_count(1)
    assert tiles.count() > 0


BOXES = """(selector) => [...document.querySelectorAll(selector)].filter((node) => node.checkVisibility()).map((node) => {
  const box = node.getBoundingClientRect();
  return [box.left, box.top, box.right, box.bottom];
}).filter(([left, , right]) => right > left)"""
FURNITURE = "#tools > *, .leaflet-bar, .north, .leaflet-control-scale"


def _overlapping(one: list[list[float]], other: list[list[float]], least_px: float = 0.5) -> list[object]:
    return [
        (a, b)
        for a in one
        for b in other
        if a is not b
        and min(a[2], b[2]) - max(a[0], b[0]) > least_px
        and min(a[3], b[3]) - max(a[1], b[1]) > least_px
    ]


@pytest.mark.parametrize("size", SIZES)
def test_contour_lines_are_off_at_first_and_drawn_under_the_roads(
    open_map: Open, season: SeasonResult, size: str
) -> None:
    page = open_map(season, size)
    legend = page.locator("#legend")
    expect(legend).not_to_contain_text("Contour")
    _tick(page, "Contour lines")
    expect(legend).to_contain_text("Contour every 100\u00a0m, heavier every 500\u00a0m")
    strokes = page.eval_on_selector_all(
        ".leaflet-overlay-pane path",
        "paths => paths.map((path) => [path.getAttribute('stroke'), path.getAttribute('d').length])",
    )
    contours = [place for place, (stroke, _) in enumerate(strokes) if stroke == "#7a5230"]
    assert contours == [0, 1]
    assert all(strokes[place][1] > 100 for place in contours)
    assert len(strokes) > 2


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("zoom", [11, 13.5])
def test_heights_stand_on_their_lines_and_on_nothing_else(
    open_map: Open, make_season: Callable[..., SeasonResult], size: str, zoom: float
) -> None:
    season = make_season(12, relief_px=700)
    page = open_map(season, size)
    _tick(page, "Contour lines")
    corner_m = _go(page, -117.02, 46.03, zoom)
    labels = page.locator(".contour-height span")
    assert labels.count() > 0
    for text in labels.all_text_contents():
        assert int(text.removesuffix("\u00a0m")) % 500 == 0
    boxes = page.evaluate(BOXES, ".contour-height span")
    assert (
        _overlapping(
            boxes, page.evaluate(BOXES, f"{FURNITURE}, .site-mark svg, .release-mark svg, .crew-mark svg")
        )
        == []
    )
    sizes = page.eval_on_selector_all(
        ".contour-height span", "all => all.map((one) => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert min(sizes) >= 12
    # The ground under the middle of each label has that height, as the season's own grid says.
    assert season.relief is not None
    frame = page.evaluate(
        "(() => { const box = map_season.getContainer().getBoundingClientRect(); return [box.left, box.top]; })()"
    )
    m_per_px = WORLD_M / 256 / 2**zoom
    for (left, top, right, bottom), text in zip(boxes, labels.all_text_contents(), strict=True):
        x_px, y_px = (left + right) / 2 - frame[0], (top + bottom) / 2 - frame[1]
        column = (corner_m[0] + x_px * m_per_px - season.relief.transform.c) / season.relief.transform.a - 0.5
        row = (corner_m[1] - y_px * m_per_px - season.relief.transform.f) / season.relief.transform.e - 0.5
        around = season.relief.elevation_m[int(row) - 1 : int(row) + 3, int(column) - 1 : int(column) + 3]
        assert around.min() - 1 <= int(text.removesuffix("\u00a0m")) <= around.max() + 1


def _told_deg(text: str) -> float:
    figures, side = text.split("\u00a0")
    parts = [float(part) for part in figures.replace("°", " ").replace("′", " ").replace("″", " ").split()]
    return sum(part / 60**place for place, part in enumerate(parts)) * (-1 if side in "WS" else 1)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("zoom", "place_deg"),
    [(6, (179.0, -35.0)), (9.5, (-117.02, 46.03)), (13, (20.1, 69.9)), (17, (-0.001, 0.001))],
)
def test_degrees_at_the_edges_are_those_of_the_lines(
    open_map: Open,
    make_season: Callable[..., SeasonResult],
    size: str,
    zoom: float,
    place_deg: tuple[float, float],
) -> None:
    page = open_map(make_season(3, relief_px=0), size)
    assert page.locator(".graticule").count() == 0
    _tick(page, "Graticule")
    corner_m = _go(page, *place_deg, zoom)
    labels = page.locator(".graticule span:visible")
    boxes, texts = page.evaluate(BOXES, ".graticule span"), labels.all_text_contents()
    assert len(boxes) == len(texts) >= 3
    assert {text[-1] for text in texts} & set("EW")
    assert {text[-1] for text in texts} & set("NS")
    assert _overlapping(boxes, page.evaluate(BOXES, FURNITURE)) == []
    assert _overlapping(boxes, boxes) == []
    left_px, top_px, right_px, bottom_px = page.evaluate(BOXES, "#map_season")[0]
    m_per_px = WORLD_M / 256 / 2**zoom
    for (left, top, right, bottom), text in zip(boxes, texts, strict=True):
        assert left >= left_px
        assert top >= top_px
        assert right <= right_px
        assert bottom <= bottom_px
        easting_m, northing_m = (
            TO_MERCATOR.transform(_told_deg(text), 0)
            if text[-1] in "EW"
            else TO_MERCATOR.transform(0, _told_deg(text))
        )
        if text[-1] in "EW":
            across_px = (easting_m - corner_m[0]) % WORLD_M / m_per_px
            assert (left + right) / 2 - left_px == pytest.approx(across_px, abs=1.0)
        else:
            assert (top + bottom) / 2 - top_px == pytest.approx(
                (corner_m[1] - northing_m) / m_per_px, abs=1.0
            )
    sizes = page.eval_on_selector_all(
        ".graticule span", "all => all.map((one) => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert min(sizes) >= 12


def test_degrees_follow_while_the_map_is_moved(
    open_map: Open, make_season: Callable[..., SeasonResult]
) -> None:
    page = open_map(make_season(3, relief_px=0))
    _tick(page, "Graticule")
    _go(page, -117.02, 46.03, 12)
    before = page.evaluate(BOXES, ".graticule span")
    page.mouse.move(400, 400)
    page.mouse.down()
    page.mouse.move(430, 400, steps=4)
    during = page.evaluate(BOXES, ".graticule span")
    page.mouse.up()
    moved = [after[0] - first[0] for first, after in zip(before, during, strict=False)]
    assert 30 in [round(step) for step in moved]
    _tick(page, "Graticule")
    expect(page.locator(".graticule")).to_have_count(0)
    expect(page.locator(".graticule-line")).to_have_count(0)
