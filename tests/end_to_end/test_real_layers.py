"""Whole runs by the command line on layers nobody here made, every printed number followed by a second, plainer way.

What the layers are and what is real about them is said in tests/real_season.py. The checks read the tables and outlines
that a run writes, and the raw files: bytes of shapefiles, arrays of cells. Areas and distances come from geographiclib
and from the geometry of circles, counties from counting crossings of a ray, cells from whole numbers, the climate gap
from SciPy.
"""

import csv
import json
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from scipy.spatial import cKDTree
from scipy.spatial.distance import cdist, mahalanobis

from tests.hand_measures import (
    CENTRAL_SCALE,
    FALSE_EASTING_M,
    FLATTENING,
    WGS84_M,
    cell_ha,
    geodesic_m,
    lies_inside,
    polygon_ha,
    read_shapefile,
    share_beyond,
    utm_to_degrees,
)
from tests.real_season import (
    BASES,
    CIRCLE_HA,
    CLIMATE_COLUMNS,
    CLIMATE_ROWS,
    COUNTIES,
    JOIN_M,
    OCCUPIED_KM,
    SLUGS,
    Clothes,
    as_found,
    coast,
    jacksboro,
    packaged,
    ridge_labels,
    ridges,
    write_season,
)

pytestmark = pytest.mark.slow

RADIUS_M = np.sqrt(CIRCLE_HA * 10_000 / np.pi)
# A circle is drawn with 64 sides and exactly its area: corners stand 3 cm outside it, sides run 3 cm inside.
DRAWN_M = 0.05
# Kilometres are printed to a metre, metres to 0.1, shares of the score to a millionth: half of that may be lost.
HALF_KM, HALF_M, HALF_HA = 0.0005, 0.05, 0.00005


@pytest.fixture(scope="module")
def runs(geo_scout, tmp_path_factory):
    """Run both seasons and return their folders of outputs."""
    folder = tmp_path_factory.mktemp("real")
    as_stored = Clothes({"every": (".gpkg", None), "boundaries": (".shp", None)}, as_found)
    files = [write_season(season, folder / season.name, as_stored) for season in (coast(), ridges())]
    with ThreadPoolExecutor() as together:
        for done in together.map(lambda file: geo_scout("run", file, cwd=file.parent), files):
            assert done.returncode == 0, done.stderr
    return {file.parent.name: file.parent / "outputs" for file in files}


@pytest.fixture(scope="module")
def county_rings():
    return {(row["STATE"], row["NAME"]): rings for row, rings in read_shapefile(packaged(*COUNTIES))}


def read_rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def county_of(county_rings, state: str, longitude_deg, latitude_deg) -> list[str]:
    """Return the county each place lies in; "" outside them all."""
    names = np.full(len(longitude_deg), "", dtype=object)
    for (of_state, name), rings in county_rings.items():
        if of_state == state:
            names[lies_inside(rings, longitude_deg, latitude_deg)] = name
    return names.tolist()


def column(rows: list[dict[str, str]], name: str) -> np.ndarray:
    return np.array([float(row[name]) if row[name] else np.nan for row in rows])


def test_scores_add_up_from_the_printed_points_and_order_the_rows(runs):
    # Weights 3 1 1 2 1 2 1 of 11 and the README's curves, done again from the printed measures of every site.
    curves = {
        "host_area_ha": (3, lambda v: v / 5),
        "host_cover_pct": (1, lambda v: v / 50),
        "host_around_ha": (1, lambda v: v / 20),
        "crew_distance_km": (2, lambda v: 1 - v / 60),
        "population_distance_km": (1, lambda v: v / 20),
        "climate_gap": (2, lambda v: 1 - v / 3),
        "elevation_difference_m": (1, lambda v: 1 - v / 600),
    }
    for folder in runs.values():
        rows = read_rows(folder / "release_sites.csv")
        values = {name: np.clip(curve(column(rows, name)), 0, 1) for name, (_, curve) in curves.items()}
        score = sum(weight / 11 * np.nan_to_num(values[name]) for name, (weight, _) in curves.items())
        # The coarsest print is cover, 0.1 % of 50 %: half of it is 0.001 of a value, times 1/11 is 0.0001.
        assert np.abs(score - column(rows, "score")).max() < 2e-4
        for agent in {row["agent"] for row in rows}:
            ranked = [row for row in rows if row["agent"] == agent and row["rank"]]
            assert [int(row["rank"]) for row in ranked] == list(range(1, len(ranked) + 1))
            printed = column(ranked, "score")
            assert (np.diff(printed) <= 0).all()
            assert len(ranked) > 10


# ---------------------------------------------------------------------------------------------------------- the coast


class Coast:
    """The slugs' finds as numbers, and which site each printed row puts them in."""

    def __init__(self, outputs: Path, county_rings) -> None:
        table = pyogrio.read_dataframe(packaged(*SLUGS))
        table = table[table["presence"] == 1]
        self.utm_m = shapely.get_coordinates(table.geometry.to_numpy())
        self.cover = table["CloudCoverMean"].to_numpy()
        self.longitude_deg, self.latitude_deg = utm_to_degrees(self.utm_m[:, 0], self.utm_m[:, 1], -123.0)
        # Metres of the UTM map per metre of ground, to the second order: 1 ppm at its widest here.
        east = (self.utm_m[:, 0] - FALSE_EASTING_M) / (CENTRAL_SCALE * WGS84_M)
        self.scale = CENTRAL_SCALE * (1 + east**2 / 2 + east**4 / 24)
        self.county = county_of(county_rings, "CA", self.longitude_deg, self.latitude_deg)
        self.release = read_rows(outputs / "release_sites.csv")
        self.row_of = {row["site_id"]: row for row in self.release}
        self.source = read_rows(outputs / "sources.csv")
        self.outlines = json.loads((outputs / "release_sites.geojson").read_text(encoding="utf-8"))[
            "features"
        ]
        self.members = {
            row["site_id"]: [int(one[1:]) - 1 for one in row["member_ids"].split("; ")]
            for row in self.release
        }
        sites_of = defaultdict(list)
        for site, members in self.members.items():
            for one in members:
                sites_of[one].append(site)
        self.sites_of = dict(sites_of)
        self.is_cut = {
            site: any(len(sites_of[one]) > 1 for one in ones) for site, ones in self.members.items()
        }

    def row(self, site: str) -> dict[str, str]:
        return self.row_of[site]

    def nearest(self, site: str, others: list[int]) -> Iterator[tuple[int, int]]:
        """Yield the pairs of finds that can be the nearest: those near each other on the UTM map."""
        ones = np.array(self.members[site])
        gaps_m = np.linalg.norm(self.utm_m[ones][:, None] - self.utm_m[others][None], axis=2)
        # The map's scale changes by less than 1 in 500 over these counties.
        for one, other in np.argwhere(gaps_m <= gaps_m.min() * 1.002):
            yield int(ones[one]), others[other]


@pytest.fixture(scope="module")
def slugs(runs, county_rings):
    return Coast(runs["coast"], county_rings)


def test_every_find_is_in_a_site_unless_its_ground_is_another_s(slugs):
    # A find with no site is a duplicate, or circles of earlier rows cover its own: of points 0.25 m apart in it, no more
    # are left than make a square metre, which is thrown away as a crumb of drawing.
    line = np.arange(-40, 40.01, 0.25)
    points = np.stack(np.meshgrid(line, line), axis=-1).reshape(-1, 2)
    points = points[np.hypot(*points.T) <= RADIUS_M]
    lost = [one for one in range(len(slugs.utm_m)) if one not in slugs.sites_of]
    assert 20 < len(lost) < 60
    for one in lost:
        earlier = (slugs.utm_m[:one] - slugs.utm_m[one]) / slugs.scale[one]
        near = earlier[np.hypot(*earlier.T) < 2 * RADIUS_M]
        gaps_m = np.linalg.norm(points[:, None] - near[None], axis=2)
        assert (gaps_m.min(axis=1) > RADIUS_M).sum() / 16 < 1.0


def test_each_site_lies_in_the_county_it_is_said_to(slugs, county_rings):
    longitude_deg, latitude_deg = (
        column(slugs.release, "longitude_deg"),
        column(slugs.release, "latitude_deg"),
    )
    counties = county_of(county_rings, "CA", longitude_deg, latitude_deg)
    assert [row["district"] for row in slugs.release] == counties
    assert {"Marin", "Sonoma", "Monterey", "Sierra", ""} < set(counties)
    assert {row["jurisdiction"] for row in slugs.release if row["district"]} == {"California"}
    for site, members in slugs.members.items():
        if not slugs.is_cut[site]:
            assert {slugs.county[one] for one in members} == {slugs.row(site)["district"]}


def test_a_find_alone_has_the_area_and_cover_written_for_it_and_its_own_place(slugs):
    alone = [s for s, ones in slugs.members.items() if len(ones) == 1 and not slugs.is_cut[s]]
    tree = cKDTree(slugs.utm_m)
    alone = [
        s for s in alone if len(tree.query_ball_point(slugs.utm_m[slugs.members[s][0]], 2.1 * RADIUS_M)) == 1
    ]
    assert len(alone) > 300
    for site in alone:
        [one], row = slugs.members[site], slugs.row(site)
        assert row["gross_ha"] == "0.5000"
        assert float(row["infested_ha"]) == pytest.approx(CIRCLE_HA * slugs.cover[one], abs=HALF_HA)
        assert float(row["cover_pct"]) == pytest.approx(100 * slugs.cover[one], abs=0.05)
        if row["utm_zone"] == "10N":
            # The place printed is inside the patch: on a line through the middle of a side, at most half of one of 64
            # sides, 1.96 m, from the middle of the circle.
            gap_m = np.hypot(
                *(np.array([float(row["easting_m"]), float(row["northing_m"])]) - slugs.utm_m[one])
            )
            assert gap_m < np.pi * RADIUS_M / 64 + DRAWN_M + HALF_M


def test_printed_degrees_and_printed_metres_are_the_same_place(slugs):
    for zone, meridian_deg in (("10N", -123.0), ("11N", -117.0)):
        rows = [row for row in slugs.release if row["utm_zone"] == zone]
        east_deg, north_deg = utm_to_degrees(
            column(rows, "easting_m"), column(rows, "northing_m"), meridian_deg
        )
        # 0.05 m is 6e-7 degrees of longitude here, and half a millionth was lost in printing the degrees.
        assert np.abs(east_deg - column(rows, "longitude_deg")).max() < 1.2e-6
        assert np.abs(north_deg - column(rows, "latitude_deg")).max() < 1.2e-6
        assert rows


def test_overlapping_finds_count_their_ground_once_and_the_earlier_row_keeps_it(slugs):
    # Count points of a grid with a metre between them. A circle of half a hectare holds 5,000, with some dozen more or
    # less along its rim: 0.5 % of the area.
    groups: dict[frozenset[int], list[str]] = defaultdict(list)
    for site, members in slugs.members.items():
        together = {site for one in members for site in slugs.sites_of[one]}
        groups[frozenset(one for site in together for one in slugs.members[site])].append(site)
    several = {ones: sites for ones, sites in groups.items() if len(ones) > 1}
    assert len(several) > 150
    for ones, sites in several.items():
        gross_ha, infested_ha = count_ground(slugs, sorted(ones))
        rows = [slugs.row(site) for site in sites]
        assert column(rows, "gross_ha").sum() == pytest.approx(gross_ha, rel=0.005), sites
        assert column(rows, "infested_ha").sum() == pytest.approx(infested_ha, rel=0.005), sites


def count_ground(slugs: Coast, ones: list[int]) -> tuple[float, float]:
    """Return gross and infested area [ha] of circles by counting points, each for the first circle that holds it."""
    places = slugs.utm_m[ones] / slugs.scale[ones[0]]
    low = places.min(axis=0) - RADIUS_M - 1
    size = (places.max(axis=0) + RADIUS_M + 1 - low).astype(int) + 1
    owner = np.full(size, -1)
    for one, place in zip(reversed(ones), places[::-1], strict=True):
        first = (place - RADIUS_M - low).astype(int)
        grid = np.stack(np.meshgrid(*(np.arange(a, a + int(2 * RADIUS_M) + 3) for a in first), indexing="ij"))
        east, north = grid
        holds = np.hypot(east + low[0] - place[0], north + low[1] - place[1]) <= RADIUS_M
        owner[east[holds], north[holds]] = one
    held = owner[owner >= 0]
    return len(held) / 10_000, float(slugs.cover[held].sum()) / 10_000


def test_outlines_on_the_ellipsoid_have_the_areas_printed(slugs):
    # GeoJSON carries seven decimals, 1 cm: around a circle of 40 m that is at most 2 in 10,000 of its area.
    for feature in slugs.outlines[::8]:
        printed_ha = float(slugs.row(feature["properties"]["site_id"])["gross_ha"])
        assert polygon_ha(feature["geometry"]) == pytest.approx(printed_ha, rel=2e-4, abs=HALF_HA)


def test_no_outline_has_a_ring_of_no_width(slugs, highlands):
    # Overlapping finds are cut along each other and put together again; no needle may be left where the seams were.
    for feature in slugs.outlines + highlands.outlines:
        for polygon in polygons_of(feature["geometry"]):
            for ring in polygon:
                east_m, north_m = ((ring - ring[0]) * metres_per_degree(ring[0, 1])).T
                area_m2 = abs(east_m[:-1] @ north_m[1:] - east_m[1:] @ north_m[:-1]) / 2
                length_m = np.hypot(np.diff(east_m), np.diff(north_m)).sum()
                # The mean width of a narrow ring is its area by half its length.
                assert area_m2 / (length_m / 2) > 0.05, feature["properties"]["site_id"]


def polygons_of(geometry) -> list[list[np.ndarray]]:
    coordinates = geometry["coordinates"]
    polygons = [coordinates] if geometry["type"] == "Polygon" else coordinates
    return [[np.array(ring) for ring in polygon] for polygon in polygons]


def test_finds_within_reach_of_each_other_are_one_site_and_others_are_not(slugs):
    # Edge to edge closer than 100 m in one county: middles closer than 100 m and two radii.
    used = sorted(slugs.sites_of)
    label = {one: one for one in used}

    def root(one: int) -> int:
        while label[one] != one:
            one = label[one]
        return one

    limit_m = JOIN_M + 2 * RADIUS_M
    undecided: set[int] = set()
    for a, b in cKDTree(slugs.utm_m[used]).query_pairs(1.01 * limit_m):
        one, other = used[a], used[b]
        gap_m = np.hypot(*(slugs.utm_m[one] - slugs.utm_m[other])) / slugs.scale[one]
        if abs(gap_m - limit_m) < 2 * DRAWN_M:
            undecided |= {one, other}
        if gap_m < limit_m and slugs.county[one] == slugs.county[other]:
            label[root(one)] = root(other)
    expected = defaultdict(set)
    for one in used:
        expected[root(one)].add(one)
    # Left out: ground that a county line cuts, and pairs so near the limit that the drawing of circles decides.
    cut = {one for site, ones in slugs.members.items() if slugs.is_cut[site] for one in ones} | undecided
    assert len(undecided) < 6
    whole = {frozenset(ones) for ones in expected.values() if not ones & cut}
    assert whole == {frozenset(ones) for ones in slugs.members.values() if not set(ones) & cut}
    assert len(whole) > 800


def test_sources_are_the_sites_with_a_find_and_release_sites_keep_their_distance_from_them(slugs):
    # Every sixtieth slug is a release, every second of those was found again; the finds lie in these sites.
    found = {site for one in range(0, len(slugs.utm_m), 120) for site in slugs.sites_of.get(one, [])}
    assert {row["site_id"] for row in slugs.source if row["rank"]} == found
    assert len(found) == 14
    out = {row["site_id"] for row in slugs.release if row["exclusion_codes"] == "agent-confirmed"}
    near = {row["site_id"] for row in slugs.release if float(row["nearest_population_km"]) <= OCCUPIED_KM}
    assert found < out == near == {row["site_id"] for row in slugs.release if not row["rank"]}


def test_every_distance_to_a_population_is_that_of_geographiclib_between_rims(slugs):
    # Nearest on the season's plane may differ from nearest on the Earth by 1 part in 1,800, which only decides between
    # populations almost equally far; the distance to the one that is named has no such room.
    members = {row["site_id"]: slugs.members[row["site_id"]] for row in slugs.source if row["rank"]}
    every = [one for ones in members.values() for one in ones]
    for row in slugs.release:
        site, printed_km = row["site_id"], float(row["population_distance_km"])
        if site in members:
            assert printed_km == 0.0
            continue
        if slugs.is_cut[site]:
            continue
        named_km = rim_to_rim_km(slugs, site, members[row["population_name"]])
        assert printed_km == pytest.approx(named_km, abs=HALF_KM + 2 * DRAWN_M / 1000)
        assert printed_km <= rim_to_rim_km(slugs, site, every) * (1 + 1 / 1800) + HALF_KM + 2 * DRAWN_M / 1000


def rim_to_rim_km(slugs: Coast, site: str, others: list[int]) -> float:
    return (
        min(
            geodesic_m(
                slugs.longitude_deg[a], slugs.latitude_deg[a], slugs.longitude_deg[b], slugs.latitude_deg[b]
            )
            - 2 * RADIUS_M
            for a, b in slugs.nearest(site, others)
        )
        / 1000
    )


def test_every_distance_to_a_base_is_that_of_geographiclib_to_the_rim(slugs):
    for row in slugs.release:
        ones, km = np.array(slugs.members[row["site_id"]]), {}
        for base, (east_deg, north_deg) in BASES["coast"].items():
            east = (slugs.longitude_deg[ones] - east_deg) * np.cos(np.radians(north_deg))
            rough = np.hypot(east, slugs.latitude_deg[ones] - north_deg)
            # Degrees are not as long everywhere: any find up to 3 % further by this reckoning may be the nearest.
            near = ones[rough <= 1.03 * rough.min()]
            places = zip(slugs.longitude_deg[near], slugs.latitude_deg[near], strict=True)
            km[base] = (min(geodesic_m(*place, east_deg, north_deg) for place in places) - RADIUS_M) / 1000
        if not slugs.is_cut[row["site_id"]]:
            assert float(row["crew_distance_km"]) == pytest.approx(
                min(km.values()), abs=HALF_KM + DRAWN_M / 1000
            )
        assert row["crew"] == min(km, key=km.__getitem__)


def test_host_around_is_the_sum_over_all_pairs_of_sites(slugs):
    # The reach is exp(-d / a) with a = 0.5 km a year x 5 years, and 0 beyond 5 km. Gaps of far pairs may be 1 % short,
    # which is 2 % of the smallest weights and 3 in 1,000 of these sums. A site that a county line cuts may lie 80 m,
    # 3 % of a, further from the others than its finds do.
    sites = list(slugs.members)
    ones = [one for site in sites for one in slugs.members[site]]
    starts = np.cumsum([0] + [len(slugs.members[site]) for site in sites])[:-1]
    places = slugs.utm_m[ones]
    infested_ha = column([slugs.row(site) for site in sites], "infested_ha")
    scale = slugs.scale[ones]
    for number, site in enumerate(sites):
        mine = slugs.utm_m[slugs.members[site]]
        gaps_m = np.linalg.norm(mine[:, None] - places[None], axis=2).min(axis=0) / scale - 2 * RADIUS_M
        km = np.minimum.reduceat(gaps_m, starts) / 1000
        km[number] = np.inf
        expected_ha = (infested_ha * np.exp(-np.maximum(km, 0) / 2.5))[km <= 5].sum()
        printed_ha = float(slugs.row(site)["host_around_ha"])
        assert printed_ha == pytest.approx(
            expected_ha, rel=0.03 if slugs.is_cut[site] else 0.003, abs=0.001
        ), site


class Cells:
    """A grid in degrees, asked by whole numbers alone."""

    def __init__(self, raster, values) -> None:
        self.raster, self.values = raster, values

    def shares(self, longitude_deg: float, latitude_deg: float) -> dict[tuple[int, int], float] | None:
        """Return the share of a find's circle in each cell; None where it meets a corner of cells."""
        east = (longitude_deg - self.raster.west_deg) / self.raster.width_deg
        south = (self.raster.north_deg - latitude_deg) / self.raster.height_deg
        column, row = int(np.floor(east)), int(np.floor(south))
        wide_m, high_m = metres_per_degree(latitude_deg)
        wide_m, high_m = wide_m * self.raster.width_deg, high_m * self.raster.height_deg
        sides = {
            (0, -1): (east - column) * wide_m,
            (0, 1): (column + 1 - east) * wide_m,
            (-1, 0): (south - row) * high_m,
            (1, 0): (row + 1 - south) * high_m,
        }
        crossed = {side: gap_m for side, gap_m in sides.items() if gap_m < RADIUS_M + DRAWN_M}
        if len(crossed) > 1:
            return None
        beyond = {
            (row + down, column + right): float(share_beyond(gap_m, RADIUS_M))
            for (down, right), gap_m in crossed.items()
        }
        return {(row, column): 1.0 - sum(beyond.values())} | beyond

    def of_site(self, slugs: Coast, site: str) -> tuple[np.ndarray, np.ndarray, bool]:
        """Return the mean over a site, how far it may be off, and whether no points had to be counted for it.

        A drawn circle's share beyond a line is true to 1 in 1,000 of the step between the two cells, ground counted by
        points to 1 in 100; within one cell there is nothing to share.
        """
        parts = [
            self.shares(slugs.longitude_deg[one], slugs.latitude_deg[one]) for one in slugs.members[site]
        ]
        is_exact = not slugs.is_cut[site] and None not in parts
        is_exact &= len(parts) == 1 or all(len(part) == 1 and part == parts[0] for part in parts if part)
        shares = parts[0] if is_exact and parts[0] else self.counted(slugs, slugs.members[site])
        known = {cell: share for cell, share in shares.items() if np.isfinite(self.values[:, *cell]).all()}
        if not known:
            return np.full(len(self.values), np.nan), np.zeros(len(self.values)), is_exact
        cells = np.array([self.values[:, *cell] for cell in known])
        off = (0.001 if is_exact else 0.01) * (cells[-1] - cells[0])
        return np.average(cells, axis=0, weights=list(known.values())), off, is_exact

    def counted(self, slugs: Coast, ones: list[int]) -> dict[tuple[int, int], float]:
        """Return the share of the ground of some finds in each cell, by points a metre apart."""
        scale, middle = slugs.scale[ones[0]], slugs.utm_m[ones].mean(axis=0)
        places = (slugs.utm_m[ones] - middle) / scale
        reach = int(np.abs(places).max() + RADIUS_M) + 1
        grid = np.stack(np.meshgrid(*[np.arange(-reach, reach + 1.0)] * 2), axis=-1).reshape(-1, 2)
        near_m = np.full(len(grid), np.inf)
        for place in places:
            np.minimum(near_m, np.hypot(*(grid - place).T), out=near_m)
        east_m, north_m = (middle + grid[near_m <= RADIUS_M] * scale).T
        east_deg, north_deg = utm_to_degrees(east_m, north_m, -123.0)
        column = np.floor((east_deg - self.raster.west_deg) / self.raster.width_deg).astype(int)
        row = np.floor((self.raster.north_deg - north_deg) / self.raster.height_deg).astype(int)
        found, count = np.unique(row * 10_000 + column, return_counts=True)
        return {divmod(int(cell), 10_000): n / len(row) for cell, n in zip(found, count, strict=True)}


def metres_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Return the length of a degree of longitude and of latitude on WGS 84 [m]."""
    e2, sine = FLATTENING * (2 - FLATTENING), np.sin(np.radians(latitude_deg))
    across_m = WGS84_M / np.sqrt(1 - e2 * sine**2)
    along_m = WGS84_M * (1 - e2) / (1 - e2 * sine**2) ** 1.5
    return np.radians(across_m * np.cos(np.radians(latitude_deg))), np.radians(along_m)


def test_elevations_are_those_of_the_cells_by_shares_of_circles(slugs):
    raster = coast().rasters["elevation"]
    stored = raster.cells.astype(float)
    cells = Cells(raster, np.where(stored == 255, np.nan, 28 * stored - 450))
    exact = shared = 0
    for site in slugs.members:
        [metres], [off_m], is_exact = cells.of_site(slugs, site)
        printed = slugs.row(site)["elevation_m"]
        assert (printed == "") == bool(np.isnan(metres))
        assert not printed or float(printed) == pytest.approx(metres, abs=HALF_M + abs(off_m)), site
        exact += is_exact
        shared += is_exact and off_m != 0
    # Most lie in one cell; enough lie across a line between two, and a few by the sea in none.
    assert exact > 900
    assert shared > 5
    assert "" in {row["elevation_m"] for row in slugs.release}


def test_the_climate_gap_is_scipy_s_distance_between_cells_read_by_hand(slugs):
    raster = coast().rasters["bioclim"]
    cells = Cells(raster, np.where(raster.cells == -9999.0, np.nan, raster.cells))
    touched = set()
    for one in slugs.sites_of:
        touched |= set(cells.shares(slugs.longitude_deg[one], slugs.latitude_deg[one]))
    values = np.array([cells.values[:, *cell] for cell in sorted(touched)])
    values = values[np.isfinite(values).all(axis=1)]
    assert {row["climate_gap_cells"] for row in slugs.release} == {str(len(values))}
    inverse = np.linalg.inv(np.cov(values, rowvar=False))
    climate = {site: cells.of_site(slugs, site) for site in slugs.members}
    populations = [row["site_id"] for row in slugs.source if row["rank"]]
    here = np.array([mean for mean, _, _ in climate.values()])
    there = np.array([climate[one][0] for one in populations])
    gaps = cdist(here, there, "mahalanobis", VI=inverse) / np.sqrt(2)
    for (site, (_, off, _)), to in zip(climate.items(), gaps, strict=True):
        # Half a print; and by the triangle no more than the site's and the population's means may be off.
        best, row = populations[to.argmin()], slugs.row(site)
        room = 0.00005 + sum(mahalanobis(one, 0 * one, inverse) for one in (off, climate[best][1])) / np.sqrt(
            2
        )
        assert float(row["climate_gap"]) == pytest.approx(to.min(), abs=room), site
        assert to[populations.index(row["climate_gap_population"])] <= to.min() + 2 * room
    assert sum(is_exact for _, _, is_exact in climate.values()) > 900
    assert len({row["climate_gap"] for row in slugs.release}) > 100


# --------------------------------------------------------------------------------------------------------- the ridges


class Ridges:
    """The ridges as cells, how much of each cell lies in which county, and the printed rows."""

    def __init__(self, outputs: Path, county_rings) -> None:
        self.heights = jacksboro()
        self.metres = self.heights.cells[0]
        self.labels = ridge_labels(self.heights)
        self.rows = read_rows(outputs / "release_sites.csv")
        self.sources = read_rows(outputs / "sources.csv")
        self.outlines = json.loads((outputs / "release_sites.geojson").read_text(encoding="utf-8"))[
            "features"
        ]
        self.rings = {name: county_rings["TN", name] for name in ("Anderson", "Campbell", "Scott")}
        line = np.arange(len(self.metres))
        self.cell_ha = cell_ha(self.place(line, 0)[1], self.place(line + 1, 0)[1], self.heights.width_deg)
        self.in_county = {name: self.shares(rings) for name, rings in self.rings.items()}

    def place(self, row, column):
        """Return longitude and latitude of a place on the grid, corners at whole numbers [deg]."""
        return (
            self.heights.west_deg + column * self.heights.width_deg,
            self.heights.north_deg - row * self.heights.height_deg,
        )

    def shares(self, rings) -> np.ndarray:
        """Return the share of each ridge cell in a county: all, none, or counted by 400 points spread evenly."""
        share = np.zeros(self.metres.shape)
        row, column = np.nonzero(self.labels)
        corners = [lies_inside(rings, *self.place(row + r, column + c)) for r in (0, 1) for c in (0, 1)]
        held = np.sum(corners, axis=0)
        share[row, column] = held == 4
        number = np.arange(400)
        down, right = (number + 0.5) / 400, number * (np.sqrt(5) - 1) / 2 % 1
        for r, c in zip(row[held % 4 > 0], column[held % 4 > 0], strict=True):
            share[r, c] = lies_inside(rings, *self.place(r + down, c + right)).mean()
        return share

    def weights(self, row: dict[str, str]) -> np.ndarray | None:
        """Return the hectares of each cell that a printed row's site holds; None where it has sisters in its county."""
        sisters = [
            o for o in self.rows if (o["member_ids"], o["district"]) == (row["member_ids"], row["district"])
        ]
        mine = self.labels == int(row["member_ids"][1:])
        if row["member_ids"].startswith("T"):
            top = np.argmax(np.where(mine, self.metres, 0))
            mine = np.arange(mine.size).reshape(mine.shape) == top
        return mine * self.in_county[row["district"]] * self.cell_ha[:, None] if len(sisters) == 1 else None

    def climate(self) -> np.ndarray:
        """Return the 36 months of every coarse cell, (36, rows, columns): tmin, tmax, precipitation."""
        rasters = ridges().rasters
        return np.concatenate([rasters[name].cells for name in ("tmin", "tmax", "precipitation")])

    def coarse(self, weights: np.ndarray) -> np.ndarray:
        """Return the hectares in each coarse cell: rows 58 by 58 from the north, columns 68 by 68 from the west."""
        row, column_ = (one.ravel() for one in np.indices(weights.shape))
        found = np.zeros((6, 6))
        np.add.at(found, (row // CLIMATE_ROWS, column_ // CLIMATE_COLUMNS), weights.ravel())
        return found


@pytest.fixture(scope="module")
def highlands(runs, county_rings):
    return Ridges(runs["ridges"], county_rings)


def test_each_ridge_has_the_ground_of_its_cells_in_each_county(highlands):
    printed_ha: dict[tuple[str, str], float] = defaultdict(float)
    for row in highlands.rows:
        if row["member_ids"].startswith("R"):
            printed_ha[row["member_ids"], row["district"]] += float(row["gross_ha"])
    for (ridge, county), one_ha in printed_ha.items():
        mine, share = highlands.labels == int(ridge[1:]), highlands.in_county[county]
        expected_ha = (mine * share * highlands.cell_ha[:, None]).sum()
        # A side along a parallel is straight in an outline: of one of 1.4 km the chord cuts 28 m2, here at most 2 in
        # 100,000 of a ridge. Counting 400 points tells the share of a cell of 0.69 ha to 0.005 ha; such errors add up as
        # the root of their number.
        lines = (mine & (share % 1 > 0)).sum()
        assert one_ha == pytest.approx(expected_ha, rel=2e-5, abs=HALF_HA + 0.005 * np.sqrt(lines)), (
            ridge,
            county,
        )
    # Nothing is lost or counted twice at the county lines: chords to the north and to the south nearly cancel.
    whole_ha = ((highlands.labels > 0) * highlands.cell_ha[:, None]).sum()
    assert sum(printed_ha.values()) == pytest.approx(whole_ha, rel=1e-6)
    assert {county for _, county in printed_ha} == {"Anderson", "Campbell", "Scott"}


def test_outlines_of_ridges_have_the_areas_printed(highlands):
    for feature in highlands.outlines:
        printed_ha = float(feature["properties"]["gross_ha"])
        assert polygon_ha(feature["geometry"]) == pytest.approx(printed_ha, rel=1e-5, abs=0.001)


def test_elevations_of_ridges_are_means_of_their_cells_and_of_tops_the_cell_itself(highlands):
    seen = 0
    for row in highlands.rows:
        weights = highlands.weights(row)
        if weights is not None:
            metres = (weights * highlands.metres).sum() / weights.sum()
            # Counted shares along a county line are a few thousandths of a small ridge of 100 m relief.
            room_m = HALF_M + (0.1 if (weights[weights > 0] < 0.999 * highlands.cell_ha.min()).any() else 0.0)
            assert float(row["elevation_m"]) == pytest.approx(
                metres, abs=0.001 if row["member_ids"][0] == "T" else room_m
            )
            seen += 1
    assert seen == len(highlands.rows)


def test_the_highest_cell_is_where_the_mountain_is(highlands, county_rings):
    # 1076 m at 36.1983 N 84.2308 W, in the file once; by the rays it lies in Campbell County, and so do the county lines
    # around it: the cell is cut, and its middle is in the larger piece.
    row, column_ = np.unravel_index(highlands.metres.argmax(), highlands.metres.shape)
    east_deg, north_deg = highlands.place(row + 0.5, column_ + 0.5)
    assert (round(north_deg, 4), round(east_deg, 4)) == (36.1983, -84.2308)
    assert county_of(county_rings, "TN", np.array([east_deg]), np.array([north_deg])) == ["Campbell"]
    tops = [row for row in highlands.rows if row["elevation_m"] == "1076.0"]
    assert max(column(highlands.rows, "elevation_m")) == 1076.0
    assert [(row["site_id"], row["district"]) for row in tops] == [
        ("BRIN-T01", "Campbell"),
        ("BRIN-T01.2", "Anderson"),
    ]
    half_deg = 0.5 * highlands.heights.width_deg
    for row in tops:
        assert float(row["longitude_deg"]) == pytest.approx(east_deg, abs=half_deg)
        assert float(row["latitude_deg"]) == pytest.approx(north_deg, abs=half_deg)
    shapes = {one["properties"]["site_id"]: one["geometry"]["coordinates"] for one in highlands.outlines}
    holds = {
        site: lies_inside([np.array(ring) for ring in shapes[site]], east_deg, north_deg)[0]
        for site in ("BRIN-T01", "BRIN-T01.2")
    }
    assert holds == {"BRIN-T01": True, "BRIN-T01.2": False}
    # The first release stands there, and its ridge is a source.
    [source] = [row for row in highlands.sources if row["site_id"] == "ASHT-R01"]
    assert source["release_ids"] == "L00"
    assert source["rank"]


def test_the_climate_gap_of_ridges_is_scipy_s_distance_between_station_years(highlands):
    climate = highlands.climate()
    every = np.array([bioclim(climate[:, row, column_]) for row, column_ in np.ndindex(climate.shape[1:])])
    inverse = np.linalg.inv(np.cov(every, rowvar=False))
    here = {}
    for row in highlands.rows:
        coarse = highlands.coarse(highlands.weights(row))
        here[row["site_id"]] = bioclim((climate * coarse).sum(axis=(1, 2)) / coarse.sum())
    sources = {row["site_id"]: here[row["site_id"]] for row in highlands.sources if row["rank"]}
    stated = {"sea level": np.array([30.0, -10.0, np.log(501.0)])}
    for row in highlands.rows:
        others = stated if row["member_ids"][0] == "T" else sources
        gaps = {
            name: mahalanobis(here[row["site_id"]], one, inverse) / np.sqrt(2) for name, one in others.items()
        }
        # Half a print, and for ridges the counted shares of cells along a county line: a thousandth of this distance.
        room = 0.00006 if row["member_ids"][0] == "T" else 0.001
        assert float(row["climate_gap"]) == pytest.approx(min(gaps.values()), abs=room), row["site_id"]
        # Two ridges in one coarse cell have the same climate, and either may be named.
        assert gaps[row["climate_gap_population"]] == pytest.approx(min(gaps.values()), abs=1e-9)
        assert row["climate_gap_cells"] == "36"
        assert row["climate_gap_variables"] == "3"
    assert len({row["climate_gap"] for row in highlands.rows}) > 20


def bioclim(months: np.ndarray) -> np.ndarray:
    """Return bio05, bio06 and ln(bio12 + 1) of twelve tmin, twelve tmax and twelve precipitations."""
    tmin, tmax, rain = months.reshape(3, 12)
    return np.array([tmax.max(), tmin.min(), np.log(rain.sum() + 1.0)])


def test_distances_of_ridges_to_the_bases_are_those_to_the_nearest_point_of_their_cells(highlands):
    for row in highlands.rows:
        weights = highlands.weights(row)
        r, c = np.nonzero(weights)
        is_cut = (weights[r, c] < 0.999 * highlands.cell_ha[r]).any()
        km = {}
        for base, (east_deg, north_deg) in BASES["ridges"].items():
            column_ = (east_deg - highlands.heights.west_deg) / highlands.heights.width_deg
            line = (highlands.heights.north_deg - north_deg) / highlands.heights.height_deg
            near_c, near_r = np.clip(column_, c, c + 1), np.clip(line, r, r + 1)
            rough = np.hypot((near_c - column_) * np.cos(np.radians(north_deg)), near_r - line)
            best = np.flatnonzero(rough <= rough.min() * 1.02)
            km[base] = (
                min(geodesic_m(*highlands.place(near_r[i], near_c[i]), east_deg, north_deg) for i in best)
                / 1000
            )
        # A cell that a county line cuts may begin up to its diagonal of 0.12 km further off.
        printed_km = float(row["crew_distance_km"])
        assert -HALF_KM <= printed_km - min(km.values()) <= HALF_KM + (0.12 if is_cut else 0.0001)
        assert row["crew"] == min(km, key=km.__getitem__)
