"""The season of `season_maker` done with the libraries geo_scout itself keeps, each used at its best.

Run as a program: ``python baseline_libraries.py SEASON_FOLDER OUTPUT_FOLDER``.

What it does, step by step, for the numbers that geo_scout prints:

- reads infestations, releases and visits with pyogrio, with Arrow where pyarrow is installed, and brings them to the
  season's equal-area plane in one call each;
- joins infestations of one manager within 100 m, edge to edge (shapely's tree, SciPy's connected components);
- measures gross and infested area, cover, a point inside, its UTM position, the distance to the nearest base;
- places releases and visits in patches, confirms finds, and gathers populations;
- measures host around by exact distances between outlines of all pairs within 10 km, found by SciPy's KD-tree;
- measures the distance to the nearest confirmed population edge to edge (shapely's tree, geodesic between the nearest
  points in one call of pyproj);
- takes exact means of elevation and of all 19 climate bands with exactextract, raster-sequential;
- takes the climate cells that hold the host, whitens by their covariance (Cholesky) and takes plain distances;
- scores, leaves out, keeps 2 km between release sites, ranks;
- draws weights (NumPy's Dirichlet) and data 2,500 times and sorts the sites in every draw: rank intervals, shares among
  the first ten and of being usable, mean weights with which a site is among them, how often these keep it there;
- writes both lists as CSV, all layers as one GeoPackage with Arrow, and a map with both lists by folium.

What it leaves out and geo_scout does: checking the season file and the layers (invalid outlines, doubles, impossible
places, overlapping surveys, units, unlike rows), SHA-256 of the inputs, districts and law, land classes, treatments and
requests, ranges of missing measures, which criteria count one thing twice, other methods, sentences for reasons, remedies, cautions and why a site is where it is, GeoJSON, the call list, pictures, findings,
manifest and run log, the relief under the map, a map that opens with no network, and the swap of outputs whole or not
at all. The rules and constants of the season stand in the code; they are not read.
"""

import importlib.util
import sys
from pathlib import Path

import folium
import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import rasterio
import shapely
from exactextract import exact_extract
from pyproj import Geod, Transformer
from scipy.linalg import cholesky, solve_triangular
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree
from scipy.spatial.distance import cdist

HAS_ARROW = importlib.util.find_spec("pyarrow") is not None
GEOD = Geod(ellps="WGS84")
FIELD_START = pd.Timestamp("2027-05-01")
JOIN_M, POSITION_M, REACH_KM, SPACING_KM = 100.0, 30.0, 10.0, 2.0
HEIGHT_SHARE = (5**0.5 - 1) / 2 - 1 / 8  # where geo_scout looks for a place inside a patch
KM_PER_YEAR, LAG_YEARS, HORIZON_YEARS = 0.5, 1.0, 5.0
DRAWS, TOP, SPREAD, CHANGE_PER_YEAR = 2_500, 10, 0.05, 0.05
MOST_SITE_DRAWS = 10_000_000
AS_OF = pd.Timestamp("2026-11-01")
VARIABLES, RAIN = ["bio05", "bio06", "bio12"], 2
RELEASE = {
    "host_area_ha": (3, "rising", 0, 5),
    "host_cover_pct": (1, "rising", 0, 50),
    "host_around_ha": (1, "rising", 0, 40),
    "crew_distance_km": (2, "falling", 0, 60),
    "population_distance_km": (1, "rising", 0, 5),
    "climate_gap": (2, "falling", 0, 3),
    "elevation_difference_m": (1, "falling", 0, 600),
}
SOURCE = {
    name: RELEASE[name] for name in ("host_area_ha", "host_cover_pct", "host_around_ha", "crew_distance_km")
}


def run(folder, outputs):
    plane = working_plane(folder)
    patches = find_patches(read(folder / "infestations.gpkg", "infestations", plane))
    releases = read(folder / "programme.gpkg", "releases", plane)
    visits = read(folder / "programme.gpkg", "visits", plane)
    add_crews(patches, folder, plane)
    releases["site"], visits["site"] = nearest_patch(releases, patches), nearest_patch(visits, patches)
    populations = confirm(patches, releases, visits)
    add_population_distance(patches, populations, plane)
    patches["host_around_ha"] = host_around(patches)
    add_rasters(patches, populations, folder)
    release_sites = rank(patches, RELEASE, release_reasons(patches), spacing_plane=plane)
    sources = rank(patches, SOURCE, source_reasons(patches, releases))
    write(outputs, release_sites, sources, populations, releases, visits)
    return release_sites, sources


def working_plane(folder):
    """Return the equal-area plane around the middle of the infestations, on whole degrees."""
    info = pyogrio.read_info(folder / "infestations.gpkg")
    west, south, east, north = info["total_bounds"]
    edge = Transformer.from_crs(info["crs"], 4326, always_xy=True).transform(
        [west, east, east, west], [south, south, north, north]
    )
    longitude, latitude = (np.floor((np.min(one) + np.max(one)) / 2 + 0.5) for one in edge)
    return f"+proj=laea +lat_0={latitude:.0f} +lon_0={longitude:.0f} +datum=WGS84 +units=m"


def read(path, layer, plane):
    return pyogrio.read_dataframe(path, layer=layer, use_arrow=HAS_ARROW).to_crs(plane)


def find_patches(infestations):
    """Return one row per patch, sorted by site_id, with its areas and a point inside."""
    shapes = infestations.geometry.to_numpy()
    one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=JOIN_M)
    owner = infestations.groupby(["manager", infestations["permission"] == "no"]).ngroup().to_numpy()
    same = owner[one] == owner[other]
    links = coo_array((np.ones(same.sum(), dtype=bool), (one[same], other[same])), shape=(len(shapes),) * 2)
    _, label = connected_components(links, directed=False)
    gross = infestations.area.to_numpy() / 1e4
    members = infestations.assign(
        label=label, gross_ha=gross, host_area_ha=gross * infestations["cover"] / 100
    ).sort_values("id")
    by_label = members.groupby("label")
    table = by_label.agg(
        site_id=("id", "first"),
        gross_ha=("gross_ha", "sum"),
        host_area_ha=("host_area_ha", "sum"),
        survey_date=("survey_date", "max"),
        survey_date_oldest=("survey_date", "min"),
        manager=("manager", "first"),
        permission=("permission", "first"),
        name=("name", "first"),
        members=("id", "; ".join),
    )
    order = np.argsort(label, kind="stable")
    outlines = shapely.multipolygons(shapes[order], indices=label[order])
    patches = gpd.GeoDataFrame(table, geometry=outlines, crs=infestations.crs)
    patches["host_cover_pct"] = 100 * patches["host_area_ha"] / patches["gross_ha"]
    patches["site_id"] = "ASHT-" + patches["site_id"]
    inside = gpd.GeoSeries(places_inside(outlines), crs=infestations.crs).to_crs(4326)
    patches["longitude_deg"], patches["latitude_deg"] = inside.x, inside.y
    zone = np.floor((inside.x + 180) / 6).astype(int) + 1
    for number in zone.unique():
        rows = zone == number
        utm = inside[rows].to_crs(32600 + number)
        patches.loc[rows, ["easting_m", "northing_m"]] = np.column_stack([utm.x, utm.y])
    return patches.sort_values("site_id").reset_index(drop=True)


def places_inside(shapes):
    """Return the middle of the widest stretch from west to east through each largest part, near its middle height."""
    part, owner = shapely.get_parts(shapes, return_index=True)
    part = part[np.lexsort((-shapely.area(part), owner))][np.r_[True, np.diff(owner) > 0]]
    west, south, east, north = shapely.bounds(part).T
    height = south + HEIGHT_SHARE * (north - south)
    ends = np.stack([np.column_stack([west - 1, height]), np.column_stack([east + 1, height])], axis=1)
    stretch, owner = shapely.get_parts(
        shapely.intersection(shapely.linestrings(ends), part), return_index=True
    )
    from_east, _, to_east, _ = shapely.bounds(stretch).T
    widest = np.lexsort((from_east - to_east, owner))[np.r_[True, np.diff(owner) > 0]]
    return shapely.points((from_east[widest] + to_east[widest]) / 2, height)


def edge_km(shapes, targets, plane):
    ends = shapely.get_coordinates(shapely.shortest_line(shapes, targets)).reshape(-1, 2, 2)
    longitude, latitude = Transformer.from_crs(plane, 4326, always_xy=True).transform(
        ends[..., 0], ends[..., 1]
    )
    return GEOD.inv(longitude[:, 0], latitude[:, 0], longitude[:, 1], latitude[:, 1])[2] / 1000


def nearest_km(shapes, targets, plane):
    shape, target = shapely.STRtree(targets).query_nearest(shapes, all_matches=False)
    return target, edge_km(shapes[shape], targets[target], plane)


def add_crews(patches, folder, plane):
    rows = [
        line.split(" = ")[1] for line in (folder / "season.toml").read_text().splitlines() if "base_" in line
    ]
    at = np.array(rows, dtype=float).reshape(-1, 2)
    bases = gpd.GeoSeries(gpd.points_from_xy(*at.T), crs=4326).to_crs(plane).to_numpy()
    patches["crew"], patches["crew_distance_km"] = nearest_km(patches.geometry.to_numpy(), bases, plane)


def nearest_patch(records, patches):
    """Return the row of the nearest patch within 30 m of each record, or -1."""
    shapes = patches.geometry.to_numpy()
    point, patch = shapely.STRtree(shapes).query_nearest(
        records.geometry.to_numpy(), max_distance=POSITION_M, all_matches=False
    )
    found = np.full(len(records), -1)
    found[point] = patch
    return found


def confirm(patches, releases, visits):
    """Return the confirmed populations: patches, and finds outside them joined by the release they name."""
    named = visits["release_id"].map(releases.set_index("release_id")["date"])
    first = releases[releases["site"] >= 0].groupby("site")["date"].min()
    in_patch = visits["site"].map(first).where(lambda day: day <= visits["date"])
    since = (visits["date"] - pd.concat([named, in_patch], axis=1).min(axis=1)).dt.days
    finds = visits[(visits["result"] == "found") & ((since >= 730) | since.isna())]
    places = np.where(finds["site"] >= 0, finds["site"].astype(str), "at release " + finds["release_id"])
    outside = finds[finds["site"] < 0].dissolve(places[finds["site"] < 0])
    inside = np.sort(finds.loc[finds["site"] >= 0, "site"].unique())
    patches["confirmed"] = np.isin(np.arange(len(patches)), inside)
    return gpd.GeoDataFrame(
        {"site": np.concatenate([inside, np.full(len(outside), -1)])},
        geometry=np.concatenate([patches.geometry.to_numpy()[inside], outside.geometry.to_numpy()]),
        crs=patches.crs,
    )


def add_population_distance(patches, populations, plane):
    patches["population"], patches["population_distance_km"] = nearest_km(
        patches.geometry.to_numpy(), populations.geometry.to_numpy(), plane
    )
    patches["is_outside"] = populations["site"].to_numpy()[patches["population"]] < 0


def host_around(patches):
    """Return the infested area of other patches times exp(-d / a), d exact between outlines [ha]."""
    shapes = patches.geometry.to_numpy()
    bounds = shapely.bounds(shapes)
    centre = (bounds[:, :2] + bounds[:, 2:]) / 2
    radius = np.hypot(*(bounds[:, 2:] - bounds[:, :2]).T) / 2
    pairs = cKDTree(centre).query_pairs(REACH_KM * 1000 + 2 * radius.max(), output_type="ndarray")
    gap = np.hypot(*(centre[pairs[:, 0]] - centre[pairs[:, 1]]).T) - radius[pairs].sum(axis=1)
    one, other = pairs[gap <= REACH_KM * 1000].T
    km = shapely.distance(shapes[one], shapes[other]) / 1000
    share = np.where(km <= REACH_KM, np.exp(-km / (KM_PER_YEAR * (HORIZON_YEARS - LAG_YEARS))), 0.0)
    area = patches["host_area_ha"].to_numpy()
    return np.bincount(one, area[other] * share, len(area)) + np.bincount(other, area[one] * share, len(area))


def add_rasters(patches, populations, folder):
    """Add exact means of elevation and climate, the elevation difference and the climate gap."""
    with rasterio.Env(GDAL_CACHEMAX=64 * 2**20):
        elevation = zonal_means(folder / "elevation.tif", patches)[:, 0]
        climate = zonal_means(folder / "bioclim.tif", patches)
        outside = populations[populations["site"] < 0]
        names, there = at_points(folder / "bioclim.tif", outside)
        height_there = at_points(folder / "elevation.tif", outside)[1][:, 0]
        cells = cells_with_host(folder / "bioclim.tif", patches)
    inside = populations.loc[populations["site"] >= 0, "site"].to_numpy()
    heights = np.sort(np.concatenate([elevation[inside], height_there]))
    right = np.searchsorted(heights, elevation).clip(1, len(heights) - 1)
    patches["elevation_m"] = elevation
    patches["elevation_difference_m"] = np.minimum(
        np.abs(heights[right] - elevation), np.abs(elevation - heights[right - 1])
    )
    use = [names.index(name) for name in VARIABLES]
    site, cell = with_log_rain(climate[:, use]), with_log_rain(cells[:, use])
    population = with_log_rain(np.concatenate([climate[inside], there])[:, use])
    factor = cholesky(np.cov(cell.T), lower=True)
    white = [
        solve_triangular(factor, (rows - cell.mean(axis=0)).T, lower=True).T for rows in (site, population)
    ]
    patches["climate_gap"] = cdist(*white).min(axis=1) / np.sqrt(2)


def zonal_means(path, patches):
    with rasterio.open(path) as file:
        zones = patches[["geometry"]].to_crs(file.crs)
        table = exact_extract(
            file,
            zones,
            ["mean"],
            strategy="raster-sequential",
            max_cells_in_memory=3_000_000,
            output="pandas",
        )
    return table.to_numpy(dtype=float)


def at_points(path, places):
    with rasterio.open(path) as file:
        points = places.representative_point().to_crs(file.crs)
        return list(file.descriptions), np.array(
            list(file.sample(zip(points.x, points.y, strict=True))), dtype=float
        )


def cells_with_host(path, patches):
    """Return the climate of every cell that a patch touches, (cells, bands)."""
    with rasterio.open(path) as file:
        zones = patches.geometry.to_crs(file.crs).to_numpy()
        bounds = shapely.bounds(zones)
        grid = file.transform
        west, east = ((bounds[:, (0, 2)] - grid.c) / grid.a).astype(int).T
        north, south = ((grid.f - bounds[:, (3, 1)]) / grid.a).astype(int).T
        wide, high = east - west + 1, south - north + 1
        zone = np.repeat(np.arange(len(zones)), wide * high)
        step = np.arange(len(zone)) - np.repeat(np.cumsum(wide * high) - wide * high, wide * high)
        row, column = north[zone] + step // wide[zone], west[zone] + step % wide[zone]
        corner = grid.c + column * grid.a, grid.f - (row + 1) * grid.a
        boxes = shapely.box(*corner, corner[0] + grid.a, corner[1] + grid.a)
        touches = shapely.intersects(zones[zone], boxes)
        flat = np.unique(row[touches] * file.width + column[touches])
        return file.read().reshape(file.count, -1)[:, flat].T.astype(float)


def with_log_rain(values):
    values = values.copy()
    values[:, RAIN] = np.log1p(values[:, RAIN])
    return values


def release_reasons(patches):
    occupied = patches["confirmed"] | (patches["population_distance_km"] <= 0.5)
    return {**common_reasons(patches), "agent-confirmed": occupied}


def source_reasons(patches, releases):
    first = releases[releases["site"] >= 0].groupby("site")["date"].min().reindex(range(len(patches)))
    ready = first + pd.DateOffset(years=4)
    return {
        **common_reasons(patches),
        "agent-not-confirmed": ~patches["confirmed"],
        "too-soon-after-release": (ready > FIELD_START).to_numpy(),
    }


def common_reasons(patches):
    return {"permission-refused": patches["permission"] == "no", "too-small": patches["host_area_ha"] < 0.1}


def rank(patches, criteria, reasons, spacing_plane=None):
    """Return the patches with value, points, score, codes and rank: ranked first, then the others."""
    table = patches.copy()
    total, score = sum(one[0] for one in criteria.values()), np.zeros(len(table))
    for name, (weight, shape, start, end) in criteria.items():
        value = np.clip((table[name] - start) / (end - start), 0, 1)
        table[f"{name}_value"] = value if shape == "rising" else 1 - value
        table[f"{name}_points"] = table[f"{name}_value"] * (weight / total)
        score += table[f"{name}_points"].to_numpy()
    table["score"] = score
    key = np.lexsort((table["site_id"], -np.floor(score * 1e6 + 0.5)))
    is_out = np.logical_or.reduce([np.asarray(one) for one in reasons.values()])
    left = key[~is_out[key]]
    if spacing_plane:
        shapes = table.geometry.to_numpy()[left]
        one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=SPACING_KM * 1010)
        one, other = one[one < other], other[one < other]
        close = edge_km(shapes[one], shapes[other], spacing_plane) < SPACING_KM
        rivals = [[] for _ in left]
        for better, worse in zip(one[close].tolist(), other[close].tolist(), strict=True):
            rivals[worse].append(better)
        kept = np.zeros(len(left), dtype=bool)
        for position, better in enumerate(rivals):
            kept[position] = not kept[better].any()
        reasons = {**reasons, "too-close": np.isin(np.arange(len(table)), left[~kept])}
        left = left[kept]
    is_drawn = ~np.logical_or.reduce(
        [np.asarray(one) for code, one in reasons.items() if code != "too-small"]
    )
    draw_ranks(table, criteria, np.flatnonzero(is_drawn), left)
    codes = [np.where(one, f"{code}; ", "") for code, one in reasons.items()]
    table["codes"] = np.sum(np.array(codes, dtype=object), axis=0)
    table["rank"] = pd.array([pd.NA] * len(table), dtype="Int64")
    table.loc[left, "rank"] = np.arange(1, len(left) + 1)
    return table.sort_values(["rank", "site_id"], na_position="last").reset_index(drop=True)


def draw_ranks(table, criteria, rows, ranked):
    """Add to each site of `rows` how sure its place is: every draw has weights and data of its own."""
    random = np.random.default_rng(1)
    weight = np.array([one[0] for one in criteria.values()], dtype=float)
    weight /= weight.sum()
    kappa = (1 - 1 / len(weight)) / len(weight) / SPREAD**2 - 1
    weights = random.dirichlet(kappa * weight, DRAWS)
    values = DrawnValues(table.iloc[rows], criteria, random)
    near = np.searchsorted(rows, ranked[: 2 * TOP])
    listed = np.searchsorted(rows, ranked)
    rank = np.zeros((DRAWS, len(rows)), dtype=np.int32)
    for draw, one in enumerate(weights):
        drawn, usable = values.draw()
        millionths = np.floor(drawn @ one * 1e6 + 0.5)
        order = np.argsort(np.where(usable, -millionths, 1), kind="stable")
        rank[draw, order] = np.arange(1, len(rows) + 1)
        rank[draw, ~usable] = 0
    is_top = (rank > 0) & (rank <= TOP)
    central = is_top[:, near].T @ weights
    total = central.sum(axis=1, keepdims=True)
    central = np.divide(central, total, out=np.full_like(central, np.nan), where=total > 0)
    sure, sure_draws = np.zeros(len(near)), min(DRAWS, MOST_SITE_DRAWS // max(1, len(rows) * len(near)))
    for _ in range(sure_draws):
        drawn, usable = values.draw()
        millionths = np.floor(drawn @ central.T * 1e6 + 0.5)
        ahead = (millionths > millionths[near, range(len(near))]) & usable[:, None]
        sure += usable[near] & (ahead.sum(axis=0) < TOP)
    placed = np.where(rank > 0, rank.astype(float), np.nan)
    names = ["rank_low", "rank_high", "top_n_share", "eligible_share", "beats_next_share", "confidence_share"]
    table[names] = np.nan
    at = {name: table.columns.get_loc(name) for name in names}
    table.iloc[rows, at["top_n_share"]] = is_top.mean(axis=0)
    table.iloc[rows, at["eligible_share"]] = (rank > 0).mean(axis=0)
    if len(listed):
        ends = np.nanquantile(placed[:, listed], [0.05, 0.95], axis=0, method="inverted_cdf")
        table.iloc[ranked, at["rank_low"]], table.iloc[ranked, at["rank_high"]] = ends
        last = np.where(rank[:, listed] > 0, rank[:, listed], len(rows) + 1)
        decided = np.minimum(last[:, :-1], last[:, 1:]) <= len(rows)
        before = (last[:, :-1] < last[:, 1:]).sum(axis=0) / decided.sum(axis=0)
        # Of sites of one score none stands before the other but by its name.
        now = np.floor(table["score"].to_numpy()[ranked] * 1e6 + 0.5)
        table.iloc[ranked[:-1], at["beats_next_share"]] = np.where(now[:-1] == now[1:], np.nan, before)
        table.iloc[ranked[: len(near)], at["confidence_share"]] = sure / max(1, sure_draws)


class DrawnValues:
    """Values as they may also be: areas grown or shrunk since the survey, finds not quite where they are written."""

    def __init__(self, sites, criteria, random):
        self.sites, self.criteria, self.random = sites, criteria, random
        self.values = np.column_stack([sites[f"{name}_value"] for name in criteria])
        years = (AS_OF - sites["survey_date_oldest"]).dt.days.to_numpy() / 365.25
        self.change = np.log1p(CHANGE_PER_YEAR) * years
        self.area, self.gross = sites["host_area_ha"].to_numpy(), sites["gross_ha"].to_numpy()
        self.unsure_km = np.where(sites["is_outside"], POSITION_M / 1000, 0.0)

    def draw(self):
        count, values = len(self.sites), self.values.copy()
        grown = self.random.triangular(-1, 0, 1, count)
        area = np.minimum(self.area * np.exp(self.change * grown), np.maximum(self.area, self.gross))
        drawn = {"host_area_ha": area, "host_cover_pct": 100 * area / self.gross}
        if "population_distance_km" in self.criteria:
            km = self.sites["population_distance_km"].to_numpy()
            drawn["population_distance_km"] = km + self.random.triangular(-1, 0, 1, count) * np.minimum(
                self.unsure_km, km
            )
        for place, (name, (_, shape, start, end)) in enumerate(self.criteria.items()):
            if name in drawn:
                value = np.clip((drawn[name] - start) / (end - start), 0, 1)
                values[:, place] = value if shape == "rising" else 1 - value
        return values, area >= 0.1


def write(outputs, release_sites, sources, populations, releases, visits):
    outputs.mkdir(parents=True, exist_ok=True)
    layers = {"release_sites": release_sites, "sources": sources, "populations": populations,
              "releases": releases, "visits": visits}  # fmt: skip
    layers = {name: frame.to_crs(4326) for name, frame in layers.items()}
    for name in ("release_sites", "sources"):
        layers[name].drop(columns="geometry").to_csv(
            outputs / f"{name}.csv", index=False, float_format="%.6f"
        )
    (outputs / "result.gpkg").unlink(missing_ok=True)
    for name, frame in layers.items():
        pyogrio.write_dataframe(frame, outputs / "result.gpkg", layer=name, use_arrow=HAS_ARROW)
    draw_map(layers["release_sites"], layers["sources"]).save(outputs / "map.html")


def draw_map(release_sites, sources):
    shown = release_sites[["site_id", "name", "rank", "score", "host_area_ha", "codes", "geometry"]].copy()
    shown["source_rank"] = shown["site_id"].map(sources.set_index("site_id")["rank"])
    shown["geometry"] = shapely.set_precision(shown.geometry.to_numpy(), 1e-6)
    shown[["score", "host_area_ha"]] = shown[["score", "host_area_ha"]].round(4)
    ranks = ["rank", "source_rank"]
    shown[ranks] = shown[ranks].astype(object).where(shown[ranks].notna(), None)
    middle = [release_sites["latitude_deg"].mean(), release_sites["longitude_deg"].mean()]
    season_map = folium.Map(middle, zoom_start=9, tiles=None, prefer_canvas=True)
    ranked, left_out = {"color": "#1c2f7a", "weight": 2}, {"color": "#777777", "weight": 1}
    fields = ["site_id", "name", "rank", "source_rank", "score", "host_area_ha", "codes"]
    folium.GeoJson(
        shown,
        style_function=lambda one: ranked if one["properties"]["rank"] else left_out,
        tooltip=folium.GeoJsonTooltip(fields),
    ).add_to(season_map)
    return season_map


def save_answers(path, table):
    """Save the unrounded numbers, so that they can be compared closer than a table prints them."""
    answers = {
        name: table[name].to_numpy(dtype=float, na_value=np.nan) for name in table.select_dtypes("number")
    }
    texts = {name: table[name].to_numpy(dtype=str) for name in ("site_id", "codes")}
    np.savez(path, **answers, **texts)


if __name__ == "__main__":
    source_folder, output_folder = (Path(one) for one in sys.argv[1:3])
    for role, one in zip(("release", "source"), run(source_folder, output_folder), strict=True):
        save_answers(output_folder / f"{role}.npz", one)
