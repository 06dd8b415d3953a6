"""Large seasons: packed columns, and all patches on one canvas."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import chain
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from playwright.sync_api import Browser, Page, expect
from pyproj import Transformer

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.map.packing import pack, packed_json, packed_numbers, packed_outlines, packed_shares
from geo_scout.outputs.tables import build_tables
from tests.benchmarks.large_map_season import large_season

pytestmark = pytest.mark.browser

COUNT = 1200


@pytest.fixture(scope="module")
def large(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    """Patches too many to be drawn one by one; the first has a hole, the second lies in two parts."""
    season = large_season(make_season(6, relief_px=0), COUNT)
    [(host, sites)] = season.sites.items()
    geometry = sites.patches.geometry.to_list()
    geometry[0] = shapely.Polygon(
        shapely.box(-117.5, 45.9, -117.4, 46.0).exterior.coords,
        [shapely.box(-117.47, 45.93, -117.43, 45.97).exterior.coords],
    )
    geometry[1] = shapely.MultiPolygon(
        [shapely.box(-117.5, 45.7, -117.47, 45.75), shapely.box(-117.43, 45.7, -117.4, 45.75)]
    )
    patches = sites.patches.assign(
        longitude_deg=[-117.49, -117.48, *sites.patches["longitude_deg"][2:]],
        latitude_deg=[45.91, 45.72, *sites.patches["latitude_deg"][2:]],
    )
    return replace(
        season,
        sites={
            host: replace(
                sites,
                patches=gpd.GeoDataFrame(
                    patches.drop(columns="geometry"), geometry=geometry, crs="EPSG:4326"
                ),
            )
        },
    )


@pytest.fixture(scope="module")
def page(browser: Browser, large: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    path = tmp_path_factory.mktemp("map") / "large.html"
    write_map(path, large, build_tables(large, "crew"), "crew")
    context = browser.new_context(offline=True, viewport={"width": 1280, "height": 800})
    opened = context.new_page()
    said: list[str] = []
    opened.on("pageerror", lambda error: said.append(f"{error} {error.stack}"))
    opened.on("console", lambda message: said.append(message.text))
    opened.goto(path.as_uri())
    expect(opened.locator("html")).to_have_attribute("data-ready", "yes")
    yield opened
    context.close()
    # That the test reads single pixels is all that Chromium minds.
    assert [text for text in said if not text.startswith("Canvas2D: Multiple readback")] == []


PIXEL = """([longitude, latitude]) => {
  const map = seasonMap.layers.map;
  const canvas = document.querySelector('.bulk-patches');
  const box = canvas.getBoundingClientRect();
  const frame = map.getContainer().getBoundingClientRect();
  const at = map.latLngToContainerPoint([latitude, longitude]);
  const ratio = canvas.width / box.width;
  const [x, y] = [(frame.left + at.x - box.left) * ratio, (frame.top + at.y - box.top) * ratio];
  return [...canvas.getContext('2d').getImageData(Math.round(x), Math.round(y), 1, 1).data];
}"""


def _look_at(page: Page, longitude_deg: float, latitude_deg: float, zoom: float) -> None:
    page.evaluate(
        "([at, zoom]) => seasonMap.layers.map.setView(at, zoom, { animate: false })",
        [[latitude_deg, longitude_deg], zoom],
    )
    page.wait_for_timeout(60)


def test_every_site_is_there_and_few_have_a_flag(page: Page, large: SeasonResult) -> None:
    assert page.evaluate("() => seasonMap.state.ranking().sites.length") == COUNT
    expect(page.locator("path.site-patch")).to_have_count(0)
    expect(page.locator(".site-mark")).to_have_count(25)
    expect(page.locator(".site-row")).to_have_count(50)
    page.get_by_role("button", name="Show 200 more of 1150").click()
    expect(page.locator(".site-row")).to_have_count(250)


def test_ids_ranks_and_scores_are_those_of_the_table(page: Page, large: SeasonResult) -> None:
    table = build_tables(large, "crew")["release"]
    found = page.evaluate(
        "() => seasonMap.data.ranking(0, 'release').sites.map((s) => [s.site_id, s.rank, s.score_low, s.latitude_deg, s.name, s.manager])"
    )
    frame = pd.DataFrame(found, columns=["site_id", "rank", "score_low", "latitude_deg", "name", "manager"])
    for name in ("site_id", "rank", "name", "manager"):
        assert frame[name].to_list() == table[name].to_list()
    assert frame["score_low"].to_numpy() == pytest.approx(table["score_low"].to_numpy(), abs=1e-6)


def test_holes_and_parts_are_drawn_and_hit_as_they_are(page: Page) -> None:
    _look_at(page, -117.45, 45.95, 11)
    assert page.evaluate(PIXEL, [-117.49, 45.95])[3] == 255
    assert page.evaluate(PIXEL, [-117.45, 45.95])[3] == 0
    _look_at(page, -117.45, 45.725, 11)
    assert page.evaluate(PIXEL, [-117.485, 45.725])[3] == 255
    assert page.evaluate(PIXEL, [-117.415, 45.725])[3] == 255
    assert page.evaluate(PIXEL, [-117.45, 45.725])[3] == 0
    for longitude, latitude, site in ((-117.41, 45.72, "AMB-00001"), (-117.45, 45.72, None)):
        _look_at(page, longitude, latitude, 12)
        x, y = page.evaluate(
            "(at) => { const m = seasonMap.layers.map; const p = m.latLngToContainerPoint(at); const b = m.getContainer().getBoundingClientRect(); return [b.left + p.x, b.top + p.y]; }",
            [latitude, longitude],
        )
        page.keyboard.press("Escape")
        page.mouse.click(x, y)
        assert page.evaluate("() => seasonMap.state.siteId") == site
    page.keyboard.press("Escape")


def test_edges_lie_where_web_mercator_puts_them(page: Page) -> None:
    to_mercator = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    for zoom in (10, 13.25, 16):
        _look_at(page, -117.5, 45.95, zoom)  # the west edge of the first patch, middle of the frame
        metres_per_px = 2 * np.pi * 6378137 / (256 * 2**zoom)
        middle, _ = to_mercator.transform(-117.5, 45.95)
        edges = []
        for px in range(-6, 7):
            longitude, _ = to_mercator.transform(middle + px * metres_per_px, 0, direction="INVERSE")
            edges.append(page.evaluate(PIXEL, [longitude, 45.95])[3] > 127)
        first = edges.index(True) - 6
        assert all(edges[edges.index(True) :])
        assert abs(first) <= 1  # the outline is drawn half to either side


def test_filters_and_weights_repaint(page: Page) -> None:
    _look_at(page, -117.49, 45.95, 12)
    before = page.evaluate(PIXEL, [-117.49, 45.95])
    page.locator("#search").fill("Patch 7")
    page.wait_for_timeout(30)
    assert page.evaluate(PIXEL, [-117.49, 45.95])[3] == 0
    page.locator("#search").fill("")
    page.wait_for_timeout(30)
    assert page.evaluate(PIXEL, [-117.49, 45.95]) == before
    count = page.evaluate("() => seasonMap.state.ranking().criteria.length")
    colours = set()
    for number in range(count):
        page.evaluate(
            "(list) => seasonMap.weights.set('release', list)", [float(k == number) for k in range(count)]
        )
        colours.add(tuple(page.evaluate(PIXEL, [-117.49, 45.95])))
    page.evaluate("() => seasonMap.weights.set('release', null)")
    assert len(colours) > 1
    assert page.evaluate(PIXEL, [-117.49, 45.95]) == before


def test_a_row_shows_its_patch(page: Page) -> None:
    page.locator(".site-row").nth(3).click()
    expect(page.locator("path.is-chosen")).to_have_count(1)
    expect(page.locator(".site-card")).to_contain_text("Rank 4 of 1200")
    page.keyboard.press("Escape")
    expect(page.locator("path.is-chosen")).to_have_count(0)


def test_columns_come_through_the_browser_as_they_went_in(page: Page) -> None:
    rng = np.random.default_rng(4)
    numbers, shares = rng.normal(size=300), rng.random(300)
    numbers[7], numbers[8], shares[:2] = np.nan, 5e-324, (0, 1)
    columns = {"n": packed_numbers(numbers), "s": packed_shares(shares), "j": packed_json({"x": ["é", None]})}
    found = page.evaluate(
        """async (text) => {
          const { n, s, j } = await seasonMap.unpack(text);
          return { n: [...n].map((one) => (Number.isNaN(one) ? null : one)), s: [...s], j };
        }""",
        pack(columns),
    )
    assert np.array_equal(np.array(found["n"], dtype=float), numbers, equal_nan=True)
    assert found["s"] == pytest.approx(shares.tolist(), abs=1.2e-10)
    assert found["j"] == {"x": ["é", None]}


def _random_shapes(count: int, rng: np.random.Generator) -> list[shapely.Geometry]:
    """Blobs in cells of a grid, of every size; one in three has a hole, one in four two parts."""
    shapes: list[shapely.Geometry] = []
    for number in range(count):
        east, north = -117.5 + 0.02 * (number % 10), 45.6 + 0.02 * (number // 10)
        turns = np.linspace(0, 2 * np.pi, rng.integers(3, 40), endpoint=False)
        radius = rng.uniform(0.0015, 0.0035) * (1 + 0.3 * np.sin(3 * turns + rng.uniform(0, 6)))
        shell = np.column_stack([east + radius * np.cos(turns), north + radius * np.sin(turns)])
        blob = shapely.Polygon(shell)
        if number % 3 == 0:
            blob = blob.difference(shapely.Point(east, north).buffer(rng.uniform(0.0003, 0.001), 3))
        if number % 4 == 0:
            blob = shapely.MultiPolygon([blob, shapely.affinity.translate(blob, 0.009, 0.003)])
        shapes.append(blob)
    return shapes


# Across the 180th meridian, larger than the world's half, and smaller than a step.
ODD_SHAPES = (
    shapely.box(179.99, -17, 180.01, -16.9),
    shapely.box(-180, -80, 180, 80),
    shapely.box(5.0, 5.0, 5.000001, 5.000001),
    shapely.Polygon(),
)


def test_outlines_come_through_the_browser_ring_by_ring(page: Page) -> None:
    shapes = [*_random_shapes(80, np.random.default_rng(5)), *ODD_SHAPES]
    found = page.evaluate(
        """async (text) => {
          const { o } = await seasonMap.unpack(text);
          return Array.from({ length: o.count }, (_, number) => seasonMap.outlineOf(o, number));
        }""",
        pack({"o": packed_outlines(np.array(shapes))}),
    )
    for shape, polygons in zip(shapes, found, strict=True):
        parts = [part for part in shapely.get_parts(shape) if not part.is_empty]
        rings = [[part.exterior, *part.interiors] for part in parts]
        for ring, told in zip(chain(*rings), chain(*polygons), strict=True):
            exact = np.round(np.array(ring.coords)[:-1, ::-1], 5)
            assert np.array(told) == pytest.approx(exact, abs=1e-12)
        assert [len(polygon) for polygon in polygons] == [len(part) for part in rings]


# A layer of the test's own on the page's map: every patch black, without outline.
ADD_LAYER = """async ([text, at, zoom]) => {
  const map = seasonMap.layers.map;
  const { o } = await seasonMap.unpack(text);
  if (window.own) window.own.remove();
  map.setView(at, zoom, { animate: false });
  window.own = seasonMap.bulkLayer(o, [{ fill: '#000000', stroke: 'transparent', width: 0.1 }]);
  window.own.setClasses(new Uint8Array(o.count)).addTo(map);
}"""
DRAWN = """(places) => places.map(([longitude, latitude]) => {
  const { _container: canvas, _context: context, _bounds: bounds, _map: map } = window.own;
  const at = map.latLngToLayerPoint([latitude, longitude]).subtract(bounds.min);
  const ratio = canvas.width / canvas.clientWidth;
  return context.getImageData(Math.floor(at.x * ratio), Math.floor(at.y * ratio), 1, 1).data[3] > 127;
})"""
HIT = "(places) => places.map(([longitude, latitude]) => window.own.patchAt(L.latLng(latitude, longitude)))"


def test_random_places_are_drawn_and_hit_as_shapely_says(page: Page) -> None:
    """Holes, parts and ground between patches; places within a pixel and a half of an edge are not asked."""
    rng = np.random.default_rng(6)
    shapes = _random_shapes(20, rng)
    page.evaluate(ADD_LAYER, [pack({"o": packed_outlines(np.array(shapes))}), [45.61, -117.41], 13])
    middles = shapely.get_coordinates(shapely.centroid(shapes))
    places = middles[rng.integers(0, 20, 3000)] + rng.uniform(-0.004, 0.004, (3000, 2))
    points = shapely.points(places)
    edges = shapely.union_all([shape.boundary for shape in shapes])
    is_clear = shapely.distance(points, edges) > 1.5 * 360 / (256 * 2**13)
    tree = shapely.STRtree(shapes)
    expected = np.full(len(points), -1)
    inside, patch = tree.query(points, predicate="within")
    expected[inside] = patch
    drawn = np.array(page.evaluate(DRAWN, places.tolist()))
    hit = np.array(page.evaluate(HIT, places.tolist()))
    assert is_clear.sum() > 2000
    assert 400 < (expected[is_clear] >= 0).sum() < 1600
    assert np.array_equal(hit[is_clear], expected[is_clear])
    assert np.array_equal(drawn[is_clear], expected[is_clear] >= 0)


# The middle of what is drawn, in pixels of the whole world, and how many pixels it covers.
MIDDLE = """() => {
  const { _container: canvas, _context: context, _bounds: bounds, _map: map } = window.own;
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  let [sum, east, south] = [0, 0, 0];
  for (let at = 0; at < data.length / 4; at += 1) {
    const share = data[4 * at + 3] / 255;
    sum += share;
    east += share * ((at % canvas.width) + 0.5);
    south += share * (Math.floor(at / canvas.width) + 0.5);
  }
  const ratio = canvas.width / canvas.clientWidth;
  const corner = bounds.min.add(map.getPixelOrigin());
  return [corner.x + east / sum / ratio, corner.y + south / sum / ratio, sum / ratio / ratio];
}"""


# How far the canvas lies from where it was drawn for; between two pixels it would be blurred.
OFFSET = """() => {
  const { _container: canvas, _bounds: bounds, _map: map } = window.own;
  const [at, frame] = [canvas, map.getPane('mapPane')].map((node) => node.getBoundingClientRect());
  return [at.left - frame.left - bounds.min.x, at.top - frame.top - bounds.min.y];
}"""


@pytest.mark.parametrize(
    ("longitude_deg", "latitude_deg"), [(-117.43217, 46.2), (0.50013, 51.5), (150.7, -35.1), (178.9, -64.3)]
)
def test_patches_lie_where_pyproj_puts_them_anywhere_on_earth(
    page: Page, longitude_deg: float, latitude_deg: float
) -> None:
    """The deepest zoom counts the world in 33 million pixels: more digits than a canvas keeps.

    Chromium fills in quarters of a pixel.
    """
    zoom = 17
    corners = np.round(np.array([longitude_deg, latitude_deg, longitude_deg + 4e-4, latitude_deg + 2e-4]), 5)
    box = shapely.box(*corners)
    page.evaluate(
        ADD_LAYER, [pack({"o": packed_outlines(np.array([box]))}), [latitude_deg, longitude_deg], zoom]
    )
    for away in (2, 0):
        _look_at(page, longitude_deg, latitude_deg, zoom - away)
    assert page.evaluate(OFFSET) == [0, 0]
    east_px, south_px, area_px = page.evaluate(MIDDLE)
    to_mercator = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    east_m, north_m = to_mercator.transform(corners[[0, 2]], corners[[1, 3]])
    metres_per_px = 2 * np.pi * 6378137 / (256 * 2**zoom)
    half_px = 256 * 2**zoom / 2
    assert east_px == pytest.approx(half_px + np.mean(east_m) / metres_per_px, abs=0.15)
    assert south_px == pytest.approx(half_px - np.mean(north_m) / metres_per_px, abs=0.15)
    assert area_px == pytest.approx(np.prod(np.ptp([east_m, north_m], axis=1)) / metres_per_px**2, rel=0.02)


def test_patches_smaller_than_a_dot_are_drawn_and_hit_as_one(page: Page) -> None:
    tiny = shapely.box(-117.43, 46.2, -117.4299, 46.2001)
    page.evaluate(ADD_LAYER, [pack({"o": packed_outlines(np.array([tiny]))}), [46.2, -117.43], 9])
    assert page.evaluate(MIDDLE)[2] == pytest.approx(16, abs=0.5)
    px = 360 / (256 * 2**9)
    places = [[-117.42995 + px * away, 46.20005] for away in (0, 1.5, 3)]
    assert page.evaluate(HIT, places) == [0, 0, -1]


def test_small_hollow_patches_are_squares_of_their_size(page: Page) -> None:
    """Hatching has no room in seven pixels, so the outline must show: the square less what is inside it."""
    px = 360 / (256 * 2**12)
    small = shapely.Point(-117.43, 46.2).buffer(2.5 * px)
    page.evaluate(ADD_LAYER, [pack({"o": packed_outlines(np.array([small]))}), [46.2, -117.43], 12])
    page.evaluate(
        """() => {
          window.own.looks = [{ fill: 'transparent', stroke: '#000000', width: 1, isHollow: true }];
          window.own.setClasses(new Uint8Array(1));
        }"""
    )
    height_px = 5 / np.cos(np.radians(46.2))  # a circle in degrees is higher than wide on the map
    assert page.evaluate(MIDDLE)[2] == pytest.approx(height_px**2 - (height_px - 2) ** 2, rel=0.1)
    assert page.evaluate(HIT, [[-117.43, 46.2], [-117.43 + 9 * px, 46.2]]) == [0, -1]


def test_zooming_leaves_the_picture_until_it_is_drawn_anew(page: Page) -> None:
    square = shapely.box(-117.44, 46.19, -117.42, 46.21)
    page.evaluate(ADD_LAYER, [pack({"o": packed_outlines(np.array([square]))}), [46.2, -117.43], 12])
    before, after, middle = page.evaluate(
        """async () => {
          const { map } = seasonMap.layers;
          const { _container: canvas, _context: context } = window.own;
          const look = () => [canvas.style.transform, canvas.width];
          const begun = new Promise((then) => { map.once('zoomanim', () => then()); });
          const ended = new Promise((then) => { map.once('moveend', () => then()); });
          map.setZoom(13, { animate: true });
          await begun;
          const before = look();
          window.own.setClasses(new Uint8Array(1));
          const after = look();
          const middle = context.getImageData(canvas.width / 2, canvas.height / 2, 1, 1).data[3];
          await ended;
          return [before, after, middle];
        }"""
    )
    assert "scale(2)" in before[0]
    assert after == before
    assert middle == 255
    page.wait_for_timeout(60)
    metres_per_px = 2 * np.pi * 6378137 / (256 * 2**13)
    east_m, north_m = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True).transform(
        [-117.44, -117.42], [46.19, 46.21]
    )
    covered_px = np.ptp(east_m) * np.ptp(north_m) / metres_per_px**2
    assert page.evaluate(MIDDLE)[2] == pytest.approx(covered_px, rel=0.01)


def test_patterns_stay_on_their_ground(page: Page) -> None:
    square = shapely.box(-117.44, 46.19, -117.42, 46.21)
    page.evaluate(ADD_LAYER, [pack({"o": packed_outlines(np.array([square]))}), [46.2, -117.43], 13])
    seen = page.evaluate(
        """() => {
          const map = seasonMap.layers.map;
          const tile = new OffscreenCanvas(8, 8);
          const pen = tile.getContext('2d');
          pen.fillRect(0, 0, 3, 5);
          window.own.looks = [{ ...window.own.looks[0], fill: pen.createPattern(tile, 'repeat') }];
          const look = () => {
            window.own.setClasses(new Uint8Array(1));
            const { _context: context, _bounds: bounds } = window.own;
            const at = map.latLngToLayerPoint([46.2, -117.43]).subtract(bounds.min);
            return [...context.getImageData(Math.round(at.x), Math.round(at.y), 16, 16).data];
          };
          const before = look();
          map.panBy([37, -21], { animate: false });
          return [before, look()];
        }"""
    )
    assert seen[0] == seen[1]
    assert len(set(seen[0][3::4])) == 2


def test_what_marks_a_patch_lies_over_the_canvas(page: Page) -> None:
    page.evaluate("() => { window.own.remove(); seasonMap.state.choose('AMB-00007', 'map'); }")
    order = page.evaluate(
        """() => {
          const map = seasonMap.layers.map;
          const layers = [];
          map.eachLayer((layer) => { if (layer.patchAt) layers.push(layer); });
          layers[0].remove();
          layers[0].addTo(map);
          return [...map.getPane('patches').children].map((node) => node.tagName.toLowerCase());
        }"""
    )
    assert order == ["canvas", "svg"]
    page.evaluate("() => seasonMap.state.choose(null, 'map')")


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        ("delete window.DecompressionStream;", "too old for a map of this size"),
        ("window.DecompressionStream = class { constructor() { throw new Error('broken'); } };", "broken"),
    ],
)
def test_a_page_that_cannot_be_unpacked_says_so(
    browser: Browser, large: SeasonResult, tmp_path: Path, spoil: str, told: str
) -> None:
    write_map(tmp_path / "large.html", large, build_tables(large, "crew"), "crew")
    context = browser.new_context(offline=True, viewport={"width": 375, "height": 740})
    context.add_init_script(spoil)
    opened = context.new_page()
    opened.goto((tmp_path / "large.html").as_uri())
    expect(opened.locator("#panels")).to_contain_text(told)
    context.close()
