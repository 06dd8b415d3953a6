"""Large seasons: packed columns, and all patches on one canvas."""

from collections.abc import Callable, Iterator
from dataclasses import replace

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
    numbers[7] = np.nan
    shapes = np.array(
        [shapely.Point(*rng.uniform(-80, 80, 2)).buffer(rng.uniform(1e-6, 0.3)) for _ in range(60)]
    )
    text = pack(
        {
            "n": packed_numbers(numbers),
            "s": packed_shares(shares),
            "o": packed_outlines(shapes),
            "j": packed_json({"x": ["é", None]}),
        }
    )
    found = page.evaluate(
        """async (text) => {
          const { n, s, o, j } = await seasonMap.unpack(text);
          const plain = Object.fromEntries(Object.entries(o).map(([name, column]) => [name, typeof column === 'number' ? column : [...column]]));
          return { n: [...n].map((one) => (Number.isNaN(one) ? null : one)), s: [...s], o: plain, j };
        }""",
        text,
    )
    assert [np.nan if one is None else one for one in found["n"]] == pytest.approx(
        numbers.tolist(), abs=0, nan_ok=True
    )
    assert found["s"] == pytest.approx(shares.tolist(), abs=1.2e-10)
    assert found["j"] == {"x": ["é", None]}
    assert found["o"]["count"] == 60
    starts = found["o"]["vertexStart"]
    for number, shape in enumerate(shapes):
        ring = [
            (found["o"]["longitude"][at], found["o"]["latitude"][at])
            for at in range(starts[number], starts[number + 1])
        ]
        exact = np.round(np.array(shape.exterior.coords)[:-1] / 1e-5).astype(int)
        assert set(ring) == {tuple(one) for one in exact.tolist()}
