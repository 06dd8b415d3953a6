"""The season of `season_maker` done as an analyst's notebook: geopandas, rasterstats, scikit-learn, folium.

Run as a program: ``python baseline_notebook.py SEASON_FOLDER OUTPUT_FOLDER files|arrays [EVERY]``.

It is written as a careful analyst writes: whole columns where these libraries work on whole columns, spatial joins
instead of loops over pairs. What it does:

- reads every layer with geopandas and brings it to the season's equal-area plane;
- joins infestations by buffering, dissolving and exploding, once for each manager; dissolves them to patches;
- measures areas, cover, and plane distances to the nearest base;
- places records by nearest join, confirms finds, and measures the plane distance to the nearest confirmed population;
- measures host around from a join of all pairs within 10 km and their exact plane distances;
- takes zonal means of elevation and of each of the 19 climate bands with rasterstats, every touched cell counted (with
  cell centres alone nine patches of ten would have no climate at all);
- takes the Mahalanobis distance to the populations with scikit-learn, over the cells the patches touch;
- scores, leaves out, keeps 2 km between release sites, ranks; writes CSV, one GeoPackage and a folium map.

The zonal means decide how long it takes, and there are two ways to ask for them. ``files`` hands rasterstats the name
of the raster and the number of the band, as the first page of its manual does; it then opens a window of the file anew
for each patch and band. ``arrays`` reads each band first and hands over the array, as a later page shows. With EVERY,
only every so many patches go through rasterstats and nothing is written: that is for timing ``files``, whose time grows
with the number of patches and nothing else. Seconds of the zonal means are printed at the end.

What it leaves out is what `baseline_libraries` leaves out. Its answers are the same but for two things that a notebook
does: plane distances instead of geodesic ones (1 in 10,000 here), and rasterstats, which counts every touched cell whole
instead of by the part that is covered.
"""

import sys
import time
from pathlib import Path

import folium
import geopandas as gpd
import numpy as np
import pandas as pd
import rasterio
from rasterio.features import rasterize
from rasterstats import point_query, zonal_stats
from sklearn.metrics import pairwise_distances
from sklearn.neighbors import NearestNeighbors

FIELD_START = pd.Timestamp("2027-05-01")
VARIABLES = ["bio05", "bio06", "bio12"]
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


def run(folder, outputs, by):
    patches, releases, visits, populations = read_season(folder)
    patches["host_around_ha"] = host_around(patches)
    seconds = add_means(patches, folder, by)
    add_elevation_difference(patches, populations, folder / "elevation.tif")
    add_climate_gap(patches, populations, folder / "bioclim.tif")
    release_sites = rank(patches, RELEASE, release_reasons(patches), spacing=True)
    sources = rank(patches, SOURCE, source_reasons(patches, releases))
    write(outputs, release_sites, sources, populations, releases, visits)
    return release_sites, sources, seconds


def read_season(folder):
    infestations = gpd.read_file(folder / "infestations.gpkg")
    west, south, east, north = infestations.to_crs(4326).total_bounds
    plane = f"+proj=laea +lat_0={round((south + north) / 2)} +lon_0={round((west + east) / 2)} +datum=WGS84 +units=m"
    patches = find_patches(infestations.to_crs(plane))
    releases = gpd.read_file(folder / "programme.gpkg", layer="releases").to_crs(plane)
    visits = gpd.read_file(folder / "programme.gpkg", layer="visits").to_crs(plane)
    add_crews(patches, folder)
    releases, visits = in_patch(releases, patches), in_patch(visits, patches)
    populations = confirm(patches, releases, visits)
    nearest = gpd.sjoin_nearest(patches[["geometry"]], populations[["geometry"]], distance_col="m")
    patches["population_distance_km"] = nearest.groupby(level=0)["m"].first() / 1000
    return patches, releases, visits, populations


def find_patches(infestations):
    infestations["refused"] = infestations["permission"] == "no"
    infestations["gross_ha"] = infestations.area / 1e4
    infestations["host_area_ha"] = infestations["gross_ha"] * infestations["cover"] / 100
    around = infestations[["manager", "refused", "geometry"]].copy()
    around["geometry"] = around.buffer(50)
    clusters = around.dissolve(by=["manager", "refused"]).explode().reset_index()
    joined = gpd.sjoin(infestations, clusters, predicate="within", lsuffix="", rsuffix="of")
    same = (joined["manager_"] == joined["manager_of"]) & (joined["refused_"] == joined["refused_of"])
    infestations["cluster"] = joined[same]["index_of"]
    patches = infestations.sort_values("id").dissolve(
        by="cluster",
        aggfunc={
            "id": "first",
            "gross_ha": "sum",
            "host_area_ha": "sum",
            "survey_date": "max",
            "manager": "first",
            "permission": "first",
            "name": "first",
        },
    )
    patches["site_id"] = "ASHT-" + patches["id"]
    patches["host_cover_pct"] = 100 * patches["host_area_ha"] / patches["gross_ha"]
    inside = patches.representative_point().to_crs(4326)
    patches["longitude_deg"], patches["latitude_deg"] = inside.x, inside.y
    return patches.sort_values("site_id").reset_index(drop=True)


def add_crews(patches, folder):
    rows = [
        line.split(" = ")[1] for line in (folder / "season.toml").read_text().splitlines() if "base_" in line
    ]
    at = np.array(rows, dtype=float).reshape(-1, 2)
    bases = gpd.GeoSeries(gpd.points_from_xy(*at.T), crs=4326).to_crs(patches.crs)
    distances = pd.concat([patches.distance(base) for base in bases], axis=1)
    patches["crew"], patches["crew_distance_km"] = distances.idxmin(axis=1), distances.min(axis=1) / 1000


def in_patch(records, patches):
    joined = gpd.sjoin_nearest(records, patches[["geometry"]], how="left", max_distance=30)
    joined = joined[~joined.index.duplicated()]
    return records.assign(patch=joined["index_right"])


def confirm(patches, releases, visits):
    named = visits["release_id"].map(releases.set_index("release_id")["date"])
    first = visits["patch"].map(releases.groupby("patch")["date"].min())
    first = first.where(first <= visits["date"])
    since = (visits["date"] - pd.concat([named, first], axis=1).min(axis=1)).dt.days
    finds = visits[(visits["result"] == "found") & ((since >= 730) | since.isna())]
    inside = patches.loc[sorted(finds["patch"].dropna().astype(int).unique()), ["geometry"]]
    outside = finds[finds["patch"].isna()].dissolve(by="release_id")[["geometry"]]
    patches["confirmed"] = patches.index.isin(inside.index)
    return pd.concat([inside.assign(patch=inside.index), outside.assign(patch=-1)], ignore_index=True)


def host_around(patches):
    slim = patches[["host_area_ha", "geometry"]]
    pairs = gpd.sjoin(slim, slim, predicate="dwithin", distance=10_000)
    pairs = pairs[pairs.index != pairs["index_right"]]
    other = slim.geometry.loc[pairs["index_right"]]
    km = pairs.geometry.distance(other, align=False) / 1000
    return (
        (pairs["host_area_ha_right"] * np.exp(-km / 2))
        .groupby(level=0)
        .sum()
        .reindex(patches.index, fill_value=0)
    )


def add_means(patches, folder, by):
    """Add the means of elevation and of every climate band; return the seconds that took."""
    with rasterio.open(folder / "bioclim.tif") as file:
        zones, names = patches.to_crs(file.crs), list(file.descriptions)
    start = time.perf_counter()
    patches["elevation_m"] = zonal_mean(zones, folder / "elevation.tif", 1, by)
    climate = {
        name: zonal_mean(zones, folder / "bioclim.tif", band, by) for band, name in enumerate(names, 1)
    }
    seconds = time.perf_counter() - start
    patches[names] = pd.DataFrame(climate, index=patches.index)
    return seconds


def zonal_mean(zones, raster, band, by):
    if by == "files":
        rows = zonal_stats(zones, str(raster), band=band, stats="mean", all_touched=True)
    else:
        with rasterio.open(raster) as file:
            rows = zonal_stats(
                zones, file.read(band), affine=file.transform, nodata=-9999, stats="mean", all_touched=True
            )
    return np.array([row["mean"] for row in rows], dtype=float)


def at_places(places, raster, band=1):
    points = places.representative_point()
    return np.array(point_query(points, str(raster), band=band, interpolate="nearest"), dtype=float)


def add_elevation_difference(patches, populations, raster):
    with rasterio.open(raster) as file:
        crs = file.crs
    is_inside = populations["patch"] >= 0
    heights = np.concatenate([
        patches["elevation_m"].to_numpy()[populations.loc[is_inside, "patch"]],
        at_places(populations[~is_inside].to_crs(crs), raster),
    ])  # fmt: skip
    nearest = NearestNeighbors(n_neighbors=1).fit(heights[:, None])
    patches["elevation_difference_m"] = nearest.kneighbors(patches[["elevation_m"]].to_numpy())[0][:, 0]


def add_climate_gap(patches, populations, raster):
    with rasterio.open(raster) as file:
        zones, names, stack = patches.to_crs(file.crs), list(file.descriptions), file.read()
        has_host = rasterize(zones.geometry, stack.shape[1:], transform=file.transform, all_touched=True)
    is_inside = populations["patch"] >= 0
    outside = populations[~is_inside].to_crs(zones.crs)
    there = pd.DataFrame({name: at_places(outside, raster, names.index(name) + 1) for name in VARIABLES})
    cells = pd.DataFrame(stack[:, has_host == 1].T.astype(float), columns=names)
    population = pd.concat([patches.loc[populations.loc[is_inside, "patch"], VARIABLES], there])
    site, population, cells = (with_log_rain(one[VARIABLES]) for one in (patches, population, cells))
    inverse = np.linalg.inv(np.cov(cells.T))
    distances = pairwise_distances(site.to_numpy(), population.to_numpy(), metric="mahalanobis", VI=inverse)
    patches["climate_gap"] = distances.min(axis=1) / np.sqrt(2)


def with_log_rain(climate):
    return climate.assign(bio12=np.log1p(climate["bio12"]))


def common_reasons(patches):
    return {"permission-refused": patches["permission"] == "no", "too-small": patches["host_area_ha"] < 0.1}


def release_reasons(patches):
    occupied = patches["confirmed"] | (patches["population_distance_km"] <= 0.5)
    return {**common_reasons(patches), "agent-confirmed": occupied}


def source_reasons(patches, releases):
    ready = releases.groupby("patch")["date"].min().reindex(patches.index) + pd.DateOffset(years=4)
    return {
        **common_reasons(patches),
        "agent-not-confirmed": ~patches["confirmed"],
        "too-soon-after-release": patches["confirmed"] & (ready > FIELD_START),
    }


def rank(patches, criteria, reasons, spacing=False):
    table = patches.copy()
    total = sum(weight for weight, *_ in criteria.values())
    table["score"] = 0.0
    for name, (weight, shape, start, end) in criteria.items():
        value = ((table[name] - start) / (end - start)).clip(0, 1)
        table[f"{name}_value"] = value if shape == "rising" else 1 - value
        table[f"{name}_points"] = table[f"{name}_value"] * weight / total
        table["score"] += table[f"{name}_points"]
    table["codes"] = ""
    for code, is_out in reasons.items():
        table.loc[is_out, "codes"] += f"{code}; "
    table["order"] = -np.floor(table["score"] * 1e6 + 0.5)
    table = table.sort_values(["order", "site_id"]).reset_index(drop=True)
    if spacing:
        left = table[table["codes"] == ""][["geometry"]]
        near = gpd.sjoin(left, left, predicate="dwithin", distance=2_000)
        better = near[near["index_right"] < near.index].groupby(level=0)["index_right"].agg(list)
        kept = set()
        for row in left.index:
            if kept.isdisjoint(better.get(row, [])):
                kept.add(row)
            else:
                table.loc[row, "codes"] = "too-close; "
    is_ranked = table["codes"] == ""
    table["rank"] = is_ranked.cumsum().where(is_ranked).astype("Int64")
    table["left_out"] = ~is_ranked
    table["by"] = table["site_id"].where(table["left_out"], "")
    return (
        table.sort_values(["left_out", "by", "rank"])
        .drop(columns=["left_out", "by", "order"])
        .reset_index(drop=True)
    )


def write(outputs, release_sites, sources, populations, releases, visits):
    outputs.mkdir(parents=True, exist_ok=True)
    (outputs / "result.gpkg").unlink(missing_ok=True)
    layers = {"release_sites": release_sites, "sources": sources, "populations": populations,
              "releases": releases, "visits": visits}  # fmt: skip
    for name, layer in layers.items():
        layer.to_crs(4326).to_file(outputs / "result.gpkg", layer=name)
    release_sites.drop(columns="geometry").to_csv(outputs / "release_sites.csv", index=False)
    sources.drop(columns="geometry").to_csv(outputs / "sources.csv", index=False)
    shown = release_sites[["site_id", "name", "rank", "score", "host_area_ha", "codes", "geometry"]].to_crs(
        4326
    )
    shown["source_rank"] = shown["site_id"].map(sources.set_index("site_id")["rank"])
    ranks = ["rank", "source_rank"]
    shown[ranks] = shown[ranks].astype(object).where(shown[ranks].notna(), None)
    season_map = folium.Map(
        [release_sites["latitude_deg"].mean(), release_sites["longitude_deg"].mean()], zoom_start=9
    )
    folium.GeoJson(
        shown,
        style_function=lambda one: {"color": "#1c2f7a" if one["properties"]["rank"] else "#777777"},
        tooltip=folium.GeoJsonTooltip(["site_id", "name", *ranks, "score", "host_area_ha", "codes"]),
    ).add_to(season_map)
    season_map.save(outputs / "map.html")


def save_answers(path, table):
    """Save the unrounded numbers, so that they can be compared closer than a table prints them."""
    answers = {
        name: table[name].to_numpy(dtype=float, na_value=np.nan) for name in table.select_dtypes("number")
    }
    texts = {name: table[name].to_numpy(dtype=str) for name in ("site_id", "codes")}
    np.savez(path, **answers, **texts)


def main(folder, outputs, by, every=None):
    if every is not None:
        return add_means(read_season(folder)[0].iloc[:: int(every)].copy(), folder, by)
    *tables, seconds = run(folder, outputs, by)
    for role, table in zip(("release", "source"), tables, strict=True):
        save_answers(outputs / f"{role}.npz", table)
    return seconds


if __name__ == "__main__":
    print(main(Path(sys.argv[1]), Path(sys.argv[2]), *sys.argv[3:]))
