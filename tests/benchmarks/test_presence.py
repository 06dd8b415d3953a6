"""The chance that an agent lives in each of a state's patches, against sjoin_nearest and loops in Python."""

import datetime as dt
import math
import resource
import time

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from geo_scout.evidence.placing import place_records
from geo_scout.evidence.presence import estimate_presence, lay_grounds
from geo_scout.formulas.dispersal import reach
from geo_scout.model.sites import Sites
from tests import sites_frames as frames

PATCHES, RELEASES, VISITS = 100_000, 20_000, 30_000
EAST_M, NORTH_M = 600_000.0, 400_000.0
MAX_SPREAD_KM, KM_PER_YR, LAG_YEARS, PERSISTENCE, PRIOR, FOUND = 20.0, 1.0, 1.0, 0.95, 0.6, 0.5
SAMPLE = 400
MOST_MB = 1500.0
AGENT = frames.agent(
    establishment={
        "prior_share": {"value": PRIOR, "low": 0.4, "high": 0.8},
        "persistence_share": PERSISTENCE,
    },
    spread={"km_per_yr": KM_PER_YR, "lag_years": LAG_YEARS, "max_spread_km": MAX_SPREAD_KM},
    signs=[
        {
            "name": "adults in the net",
            "methods": ["sweep net"],
            "first_day": "01-01",
            "last_day": "12-31",
            "found_share": {"value": FOUND, "low": 0.3, "high": 0.7},
            "effort_hours": 1.0,
        }
    ],
)
SEASON = frames.season(AGENT)


def _patches(count: int, draw: np.random.Generator, size_m: tuple[float, float]) -> gpd.GeoDataFrame:
    """Return star-shaped patches of 12 corners, 100 m to 1 km across."""
    centre = draw.uniform(0, size_m, (count, 1, 2))
    angle = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    radius = draw.uniform(50, 500, (count, 1)) * draw.uniform(0.5, 1, (count, 12))
    ring = centre + np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)
    names = [f"ASHT-{n:06d}" for n in range(count)]
    return gpd.GeoDataFrame({"site_id": names}, geometry=shapely.polygons(ring), crs=frames.PLANE)


def _records(points: np.ndarray, draw: np.random.Generator, **columns: object) -> gpd.GeoDataFrame:
    days = draw.integers(0, (dt.date(2026, 6, 1) - dt.date(2005, 5, 1)).days, len(points))
    date = (np.datetime64("2005-05-01", "D") + days).astype("datetime64[s]")
    data = {"date": date, "coordinate_uncertainty_m": np.full(len(points), np.nan), **columns}
    return gpd.GeoDataFrame(data, geometry=points, crs=frames.PLANE)


def _state(scale: float) -> tuple[Sites, gpd.GeoDataFrame, gpd.GeoDataFrame]:
    """Return patches, releases (seven in ten in a patch) and visits to them, as dense at any scale."""
    draw = np.random.default_rng(1)
    size_m = (EAST_M * math.sqrt(scale), NORTH_M * math.sqrt(scale))
    patches = _patches(int(PATCHES * scale), draw, size_m)
    count = int(RELEASES * scale)
    anywhere = shapely.points(draw.uniform(0, size_m, (count, 2)))
    inside = shapely.centroid(patches.geometry.to_numpy()[draw.integers(0, len(patches), count)])
    points = np.where(draw.random(count) < 0.7, inside, anywhere)
    ids = np.array([f"R{n}" for n in range(count)], dtype=object)
    releases = _records(points, draw, release_id=ids)
    of = draw.integers(0, count, int(VISITS * scale))
    visits = _records(
        points[of],
        draw,
        visit_id=np.array([f"V{n}" for n in range(len(of))], dtype=object),
        release_id=ids[of],
        found=draw.random(len(of)) < 0.2,
        method="sweep net",
        sign="",
        voucher="",
        effort_hours=draw.uniform(0.2, 3.0, len(of)),
    )
    none = pd.DataFrame(columns=["site_id", "treatment_id", "kind", "start", "end"]).assign(share=0.0)
    sites = Sites(frames.HOST, patches, patches.iloc[:0], none, none)
    return sites, place_records(releases, patches), place_records(visits, patches)


def _plainly(
    sites: Sites, releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, rows: np.ndarray
) -> np.ndarray:
    """Return the best chance of some patches the plain way: the nearest by geopandas, the rest in loops.

    Every release is its own origin here, and its chance to have taken is the prior.
    """
    patches = sites.patches.iloc[rows].reset_index(drop=True)
    patches.sjoin_nearest(releases[["release_id", "geometry"]], max_distance=MAX_SPREAD_KM * 1000)
    put = list(zip(releases.geometry, releases["date"].dt.date, releases["site_id"], strict=True))
    tree, chances = releases.sindex, []
    for row in patches.itertuples():
        near = tree.query(row.geometry.buffer(MAX_SPREAD_KM * 1000))
        around = [(row.geometry.distance(put[n][0]) / 1000, put[n][1], put[n][2]) for n in near]
        own = visits[visits["site_id"] == row.site_id]
        chance, before = 0.0, 1.0
        for year in range(2005, 2027):
            end = min(dt.date(year, 12, 31), SEASON.as_of)
            missed = 1.0
            for distance_km, day, site_id in around:
                years = (end - day).days / 365.25
                if years >= 0 and site_id != row.site_id and distance_km <= MAX_SPREAD_KM:
                    scale_km = KM_PER_YR * max(0.0, years - LAG_YEARS)
                    missed *= 1 - PRIOR * (
                        math.exp(-distance_km / scale_km) if scale_km else distance_km == 0
                    )
            stays = PERSISTENCE * chance
            chance, before = stays + (1 - stays) * (1 - missed / before), missed
            if any(site_id == row.site_id and day.year == year for _, day, site_id in around):
                chance = max(chance, PRIOR)
            for visit in own[own["date"].dt.year == year].itertuples():
                d = 1 - (1 - FOUND) ** visit.effort_hours
                chance = 1.0 if visit.found else chance * (1 - d) / (1 - chance * d)
        chances.append(chance)
    return np.array(chances)


def test_a_state_of_presence_costs_little(scale):
    sites, releases, visits = _state(scale)
    start = time.perf_counter()
    grounds = lay_grounds(sites, frames.layers(), SEASON, AGENT, releases, visits)
    chance, _ = estimate_presence(grounds)
    ours = time.perf_counter() - start
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    rows = np.random.default_rng(2).choice(len(sites), min(SAMPLE, len(sites)), replace=False)
    start = time.perf_counter()
    plain = _plainly(sites, releases, visits, rows)
    theirs = (time.perf_counter() - start) * len(sites) / len(rows)
    print(
        f"\n{len(sites):,} patches x {len(releases):,} releases: {ours:.1f} s for lowest, best and highest, peak "
        f"{peak_mb:.0f} MB; geopandas sjoin_nearest and loops, best only, {len(rows)} patches measured and "
        f"multiplied: {theirs:.0f} s, ratio {theirs / ours:.0f}"
    )
    assert len(chance) >= len(sites)
    assert np.isfinite(plain).all()
    assert peak_mb < MOST_MB
    # 172 times at full size and 244 at a tenth, both beside other work.
    assert theirs > 30 * ours


def test_some_of_those_chances_by_loops(scale):
    """Without visits and deaths both ways are one formula: 1 - prod(1 - P h) over the places released into."""
    sites, releases, visits = _state(min(scale, 0.05))
    agent = AGENT.model_copy(
        update={"establishment": AGENT.establishment.model_copy(update={"persistence_share": None})}
    )
    grounds = lay_grounds(sites, frames.layers(), SEASON, agent, releases, visits.iloc[:0])
    best, places = estimate_presence(grounds)[0][:, 1], grounds.places
    for row in np.random.default_rng(3).choice(len(sites), 25, replace=False):
        gap_km = shapely.distance(places.shapes[row], places.shapes[grounds.origins.place]) / 1000
        years = (np.datetime64(SEASON.as_of, "D") - grounds.origins.started).astype(int) / 365.25
        share = reach(gap_km, years, KM_PER_YR, LAG_YEARS, MAX_SPREAD_KM)
        np.testing.assert_allclose(best[row], 1 - np.prod(1 - PRIOR * share), rtol=1e-9)
