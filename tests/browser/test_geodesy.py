"""The page's own geodesy against PROJ, GeographicLib, GEOTRANS and GEOS."""

import random
from collections.abc import Iterator
from importlib.resources import files

import mgrs
import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Browser, Page
from pyproj import Transformer

pytestmark = [pytest.mark.browser, pytest.mark.slow]
Position = tuple[float, float]


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """A blank page with nothing but the geodesy."""
    static = files("geo_scout.outputs.map") / "static"
    opened = browser.new_page()
    scripts = [(static / name).read_text(encoding="utf-8") for name in ("text.js", "geodesy.js")]
    opened.evaluate("text => { const add = new Function(text); add(); }", "\n".join(scripts) + EXPOSE)
    yield opened
    opened.close()


EXPOSE = "\nseasonMap.begin(); window.geodesy = seasonMap.geodesy;"
UTM = "places => places.map(([lat, lon]) => { const at = geodesy.utm(lat, lon); return at && [at.utm_zone, at.easting_m, at.northing_m]; })"
INVERSE = """pairs => pairs.map(([lat1, lon1, lat2, lon2]) => {
  const way = geodesy.inverse({ latitude_deg: lat1, longitude_deg: lon1 }, { latitude_deg: lat2, longitude_deg: lon2 });
  return [way.distance_m, way.bearing_deg];
})"""


def _places(rng: random.Random, count: int, south: float, north: float) -> list[Position]:
    return [(rng.uniform(south, north), rng.uniform(-180, 180)) for _ in range(count)]


def test_utm_is_that_of_proj_far_within_a_millimetre(page: Page) -> None:
    rng = random.Random(11)
    odd = [(rng.uniform(55, 65), rng.uniform(2, 13)) for _ in range(300)]  # south-west Norway
    odd += [(rng.uniform(71, 84), rng.uniform(-1, 43)) for _ in range(300)]  # Svalbard
    edges = [
        (0.0, 0.0),
        (-1e-9, -180.0),
        (84.0, 179.999),
        (-80.0, 6.0),
        (56.0, 3.0),
        (72.0, 9.0),
        (5.0, 180.0),
    ]
    places = [*_places(rng, 2_000, -80, 84), *odd, *edges]
    to_grid: dict[str, Transformer] = {}
    for (latitude_deg, longitude_deg), found in zip(places, page.evaluate(UTM, places), strict=True):
        zone, easting_m, northing_m = found
        number, hemisphere = int(zone[:-1]), zone[-1]
        code = (32600 if hemisphere == "N" else 32700) + number
        if zone not in to_grid:
            to_grid[zone] = Transformer.from_crs(4326, code, always_xy=True)
        expected = to_grid[zone].transform(longitude_deg, latitude_deg)
        assert (easting_m, northing_m) == pytest.approx(expected, rel=0, abs=2e-6)
        assert hemisphere == ("S" if latitude_deg < 0 else "N")


def test_zones_are_those_of_the_military_grid_with_its_exceptions(page: Page) -> None:
    rng = random.Random(12)
    places = [(rng.uniform(50, 83.9), rng.uniform(-5, 45)) for _ in range(2_000)]
    places += _places(rng, 500, -79.9, 83.9)
    grid = mgrs.MGRS()
    zones = [grid.toMGRS(*place)[:2].rstrip("CDEFGHJKLMNPQRSTUVWX") for place in places]
    assert [int(found[0][:-1]) for found in page.evaluate(UTM, places)] == [int(zone) for zone in zones]
    assert {"32", "33", "35", "37"} <= set(zones)


def test_there_is_no_utm_at_the_poles_or_nowhere(page: Page) -> None:
    assert page.evaluate(UTM, [(84.001, 0.0), (-80.001, 10.0), (90.0, 0.0)]) == [None] * 3
    assert page.evaluate("[geodesy.utm(NaN, 1), geodesy.utm(1, NaN), geodesy.utm(1, Infinity)]") == [None] * 3


def _pairs(rng: random.Random) -> list[tuple[float, float, float, float]]:
    far = [
        (*one, *other)
        for one, other in zip(_places(rng, 2_000, -90, 90), _places(rng, 2_000, -90, 90), strict=True)
    ]
    opposite = []
    for latitude_deg, longitude_deg in _places(rng, 1_500, -89.9, 89.9):
        off = rng.uniform(-0.7, 0.7) * rng.random() ** 3, rng.uniform(-0.7, 0.7) * rng.random() ** 3
        opposite.append(
            (
                latitude_deg,
                longitude_deg,
                min(90, max(-90, -latitude_deg + off[0])),
                longitude_deg + 180 + off[1],
            )
        )
    near = [
        (a, b, a + rng.uniform(-0.001, 0.001), b + rng.uniform(-0.001, 0.001))
        for a, b in _places(rng, 500, -85, 85)
    ]
    return [*far, *opposite, *near]


def test_distance_and_bearing_are_those_of_geographiclib_everywhere(page: Page) -> None:
    pairs = _pairs(random.Random(13))
    halved = 0
    for (lat1, lon1, lat2, lon2), (distance_m, bearing_deg) in zip(
        pairs, page.evaluate(INVERSE, pairs), strict=True
    ):
        expected = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
        room_m = max(1e-6 * expected["s12"], 1e-4)
        assert distance_m == pytest.approx(expected["s12"], rel=0, abs=room_m)
        # Whoever walks that bearing for that distance arrives.
        there = Geodesic.WGS84.Direct(lat1, lon1, bearing_deg, distance_m)
        assert Geodesic.WGS84.Inverse(there["lat2"], there["lon2"], lat2, lon2)["s12"] <= room_m
        halved += expected["a12"] > 179.0
    assert halved > 700


@pytest.mark.parametrize("beyond_deg", [0.0, 1e-9, 0.1, 0.3, 0.5, 0.6, 0.606, 0.61, 0.7, 1.0])
def test_the_other_end_of_the_world_is_as_far_as_it_is(page: Page, beyond_deg: float) -> None:
    pairs = [
        (0.0, 0.0, 0.0, 180.0 - beyond_deg),
        (0.0, 10.0, 0.0, 190.0 + beyond_deg),
        (30.0, 0.0, -30.0, 180.0 - beyond_deg),
        (-30.0, 10.0, 30.0, 190.0 - beyond_deg),
        (90.0, 0.0, -90.0, beyond_deg),
        (89.9, 0.0, -90.0, beyond_deg),
        (45.0, 0.0, -45.0 + beyond_deg, 180.0),
    ]
    for pair, (distance_m, bearing_deg) in zip(pairs, page.evaluate(INVERSE, pairs), strict=True):
        assert distance_m == pytest.approx(Geodesic.WGS84.Inverse(*pair)["s12"], rel=1e-6)
        assert 0 <= bearing_deg < 360


def test_one_place_has_no_bearing(page: Page) -> None:
    assert page.evaluate(INVERSE, [(46.0, -117.0, 46.0, -117.0), (0.0, 0.0, 0.0, 360.0)]) == [[0, None]] * 2


def test_inside_and_how_far_outside_are_those_of_geos(page: Page) -> None:
    rng = np.random.default_rng(14)
    turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    for latitude_deg, longitude_deg in ((46.0, -117.0), (-69.0, 25.0), (1.0, 103.0)):
        size_deg = 0.01 * (1 + 0.4 * np.sin(3 * turns))
        lons = longitude_deg + size_deg * np.cos(turns) / np.cos(np.radians(latitude_deg))
        lats = latitude_deg + size_deg * np.sin(turns)
        hole = shapely.Point(longitude_deg, latitude_deg).buffer(0.003).exterior
        patch = shapely.Polygon(np.column_stack([lons, lats]), [hole.coords])
        outline = [[[[lat, lon] for lon, lat in ring.coords] for ring in (patch.exterior, *patch.interiors)]]
        spots = [(latitude_deg, longitude_deg), *zip(
            latitude_deg + rng.uniform(-0.02, 0.02, 60), longitude_deg + rng.uniform(-0.04, 0.04, 60), strict=True,
        )]  # fmt: skip
        script = """([outline, spots]) => spots.map(([latitude_deg, longitude_deg]) =>
          [geodesy.isInside(outline, { latitude_deg, longitude_deg }), geodesy.distanceToOutline(outline, { latitude_deg, longitude_deg })])"""
        found = page.evaluate(script, [outline, [[float(a), float(b)] for a, b in spots]])
        for (lat, lon), (is_inside, distance_m) in zip(spots, found, strict=True):
            assert is_inside == patch.contains(shapely.Point(lon, lat))
            around = Transformer.from_crs(
                4326, f"+proj=aeqd +lat_0={lat} +lon_0={lon} +datum=WGS84", always_xy=True
            )
            edge = shapely.transform(
                patch, lambda xy, around=around: np.column_stack(around.transform(xy[:, 0], xy[:, 1]))
            )
            assert distance_m == pytest.approx(edge.distance(shapely.Point(0, 0)), rel=1e-3, abs=0.05)
    assert page.evaluate("geodesy.distanceToOutline([], { latitude_deg: 1, longitude_deg: 1 })") is None
