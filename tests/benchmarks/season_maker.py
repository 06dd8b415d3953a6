"""An invented season of any size for the whole-season benchmark: one weed, one agent, one square of country.

At full size 10,000 patches, 2,000 releases, elevation of 5,000 x 5,000 cells of 30 m and 19 climate bands of
750 x 500 cells of 800 m. A smaller share keeps the density: fewer patches and releases on as much smaller a square.
Every number is drawn from a fixed seed; nothing is taken from anywhere.
"""

import sys
from dataclasses import dataclass
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import rasterio
import shapely
from affine import Affine
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, zoom

PATCHES, RELEASES = 10_000, 2_000
ELEVATION_SIDE, ELEVATION_CELL_M = 5_000, 30.0
CLIMATE_SHAPE, CLIMATE_CELL_M, CLIMATE_BANDS = (500, 750), 800.0, 19
CRS = "EPSG:5070"
WEST_M, SOUTH_M = -900_000.0, 2_600_000.0
CORNERS = 24
JOIN_M = 100.0

# Warm and cold in degrees, wet in millimetres: which way each bioclimatic variable runs with height, and its spread.
TEMPERATURES = {
    1: 6.0,
    2: 13.0,
    3: 35.0,
    4: 850.0,
    5: 29.0,
    6: -12.0,
    7: 41.0,
    8: 10.0,
    9: -2.0,
    10: 17.0,
    11: -5.0,
}
RAIN = {12: 400.0, 13: 65.0, 14: 15.0, 15: 50.0, 16: 170.0, 17: 50.0, 18: 150.0, 19: 60.0}

SEASON = """\
format = 1

[season]
title = "Whole-season benchmark"
as_of = 2026-11-01
start = 2027-05-01
end = 2027-09-15
agents = ["agent.toml"]

[layers.infestations]
path = "infestations.gpkg"
units = {cover = "percent"}

[layers.releases]
path = "programme.gpkg"
layer = "releases"

[layers.visits]
path = "programme.gpkg"
layer = "visits"

[layers.elevation]
path = "elevation.tif"

[layers.bioclim]
path = "bioclim.tif"

CREWS
[rules]
join_m = 100
min_infested_ha = 0.1
occupied_km = 0.5
min_spacing_km = 2
horizon_years = 5

[criteria.release]
host_area = {weight = 3, curve = {shape = "rising", from = 0, to = 5}}
host_cover = {weight = 1, curve = {shape = "rising", from = 0, to = 50}}
host_around = {weight = 1, curve = {shape = "rising", from = 0, to = 40}}
crew_distance = {weight = 2, curve = {shape = "falling", from = 0, to = 60}}
population_distance = {weight = 1, curve = {shape = "rising", from = 0, to = 5}}
climate_gap = {weight = 2, curve = {shape = "falling", from = 0, to = 3}}
elevation_difference = {weight = 1, curve = {shape = "falling", from = 0, to = 600}}

[criteria.source]
host_area = {weight = 3, curve = {shape = "rising", from = 0, to = 5}}
host_cover = {weight = 1, curve = {shape = "rising", from = 0, to = 50}}
host_around = {weight = 1, curve = {shape = "rising", from = 0, to = 40}}
crew_distance = {weight = 2, curve = {shape = "falling", from = 0, to = 60}}
"""

AGENT = """\
format = 1
name = "ashthorn weevil"
host = "ashthorn"
host_code = "ASHT"

[establishment]
prior_share = {value = 0.6, source = "invented for the benchmark"}
years_to_confirm = 2
years_to_harvest = 4

[spread]
km_per_yr = 0.5
lag_years = 1
max_spread_km = 10

[climate]
variables = ["bio05", "bio06", "bio12"]
"""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Size:
    """How much of everything there is at a share of the full size."""

    patches: int
    releases: int
    elevation_side: int
    climate_shape: tuple[int, int]

    @property
    def side_m(self) -> float:
        return self.elevation_side * ELEVATION_CELL_M


def size_of(scale: float) -> Size:
    """Return the numbers at a share of the full size: counts go with it, sides with its root."""
    root = np.sqrt(scale)
    return Size(
        patches=round(PATCHES * scale),
        releases=round(RELEASES * scale),
        elevation_side=round(ELEVATION_SIDE * root),
        climate_shape=(round(CLIMATE_SHAPE[0] * root), round(CLIMATE_SHAPE[1] * root)),
    )


def make_season(folder: Path, scale: float) -> Path:
    """Write the season and return its file."""
    size = size_of(scale)
    random = np.random.default_rng(20261101)
    folder.mkdir(parents=True, exist_ok=True)
    height_m = _relief(random, size.elevation_side)
    _write_elevation(folder / "elevation.tif", height_m)
    _write_climate(folder / "bioclim.tif", random, size, height_m)
    centres, infestations = _infestations(random, size)
    infestations.to_file(folder / "infestations.gpkg", layer="infestations")
    releases, visits = _records(random, size, centres)
    releases.to_file(folder / "programme.gpkg", layer="releases")
    visits.to_file(folder / "programme.gpkg", layer="visits")
    (folder / "agent.toml").write_text(AGENT, encoding="utf-8")
    (folder / "season.toml").write_text(SEASON.replace("CREWS\n", _crews(size)), encoding="utf-8")
    return folder / "season.toml"


def _relief(random: np.random.Generator, side: int) -> NDArray[np.float32]:
    """Return hills of five sizes, 700 to about 2,500 m high [m]."""
    height = np.zeros((side, side), dtype=np.float32)
    for hills, amplitude_m in ((4, 350), (12, 180), (40, 80), (150, 25), (600, 6)):
        coarse = gaussian_filter(random.normal(size=(hills + 4, hills + 4)), 1.0)
        coarse = (coarse - coarse.mean()) / coarse.std()
        height += amplitude_m * zoom(coarse, side / (hills + 4) * 1.05, order=1)[:side, :side].astype(
            np.float32
        )
    height += random.normal(scale=0.3, size=(side, side)).astype(np.float32)
    return height - height.min() + np.float32(700)


def _write_elevation(path: Path, height_m: NDArray[np.float32]) -> None:
    side = height_m.shape[0]
    north_m = SOUTH_M + side * ELEVATION_CELL_M
    transform = Affine(ELEVATION_CELL_M, 0, WEST_M, 0, -ELEVATION_CELL_M, north_m)
    profile = {"driver": "GTiff", "count": 1, "width": side, "height": side, "dtype": "float32", "crs": CRS,
               "transform": transform, "tiled": True, "compress": "deflate", "predictor": 3}  # fmt: skip
    with rasterio.open(path, "w", **profile) as file:
        file.write(height_m, 1)


def _write_climate(
    path: Path, random: np.random.Generator, size: Size, height_m: NDArray[np.float32]
) -> None:
    """Write nineteen bands around the middle of the square, colder and wetter with height inside it."""
    rows, columns = size.climate_shape
    middle = WEST_M + size.side_m / 2, SOUTH_M + size.side_m / 2
    # Whole cells from the square's corner, but not on the elevation's own cell edges.
    west_m = middle[0] - columns / 2 * CLIMATE_CELL_M + 137.0
    north_m = middle[1] + rows / 2 * CLIMATE_CELL_M + 211.0
    transform = Affine(CLIMATE_CELL_M, 0, west_m, 0, -CLIMATE_CELL_M, north_m)
    height = _on_climate_grid(height_m, transform, size)
    bands = []
    for number in range(1, CLIMATE_BANDS + 1):
        noise = gaussian_filter(random.normal(size=(rows, columns)), 12) * 40
        if number in TEMPERATURES:
            spread = abs(TEMPERATURES[number]) * 0.02 + 0.5
            bands.append(TEMPERATURES[number] - 0.004 * (height - 1200) + spread * noise)
        else:
            bands.append(np.maximum(RAIN[number] * (1 + 0.0003 * (height - 1200) + 0.1 * noise), 0.0))
    profile = {"driver": "GTiff", "count": CLIMATE_BANDS, "width": columns, "height": rows, "dtype": "float32",
               "crs": CRS, "transform": transform, "tiled": True, "compress": "deflate"}  # fmt: skip
    with rasterio.open(path, "w", **profile) as file:
        file.write(np.array(bands, dtype=np.float32))
        for number in range(1, CLIMATE_BANDS + 1):
            file.set_band_description(number, f"bio{number:02d}")


def _on_climate_grid(height_m: NDArray[np.float32], transform: Affine, size: Size) -> Floats:
    rows, columns = size.climate_shape
    easting = transform.c + (np.arange(columns) + 0.5) * CLIMATE_CELL_M
    northing = transform.f - (np.arange(rows) + 0.5) * CLIMATE_CELL_M
    column = np.clip((easting - WEST_M) / ELEVATION_CELL_M, 0, size.elevation_side - 1).astype(int)
    row = np.clip((SOUTH_M + size.side_m - northing) / ELEVATION_CELL_M, 0, size.elevation_side - 1).astype(
        int
    )
    return height_m[np.ix_(row, column)].astype(np.float64)


def _infestations(random: np.random.Generator, size: Size) -> tuple[Floats, gpd.GeoDataFrame]:
    """Return the patches' centres, and infestations that join to just so many patches.

    Each patch has a square of its own and stays 75 m inside it. Four in ten have a second infestation less than 100 m
    from the first.
    """
    across = int(np.ceil(np.sqrt(size.patches * 1.15)))
    cell_m = (size.side_m - 2_000) / across
    cells = np.sort(random.choice(across**2, size.patches, replace=False))
    centre = np.column_stack([cells % across, cells // across]) * cell_m + cell_m / 2 + 1_000
    centre += np.array([WEST_M, SOUTH_M])
    radius_m = np.sqrt(np.exp(random.uniform(np.log(0.1), np.log(20), size.patches)) * 1e4 / np.pi)
    room_m = np.maximum(cell_m / 2 - 75 - 1.2 * radius_m - 130, 0)
    centre += random.uniform(-1, 1, (size.patches, 2)) * room_m[:, None]
    second = np.flatnonzero(random.random(size.patches) < 0.4)
    angle = random.uniform(0, 2 * np.pi, len(second))
    small_m = random.uniform(15, 40, len(second))
    off_m = 1.2 * (radius_m[second] + small_m) + random.uniform(0, 10, len(second))
    beside = centre[second] + off_m[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
    shapes = _outlines(random, np.concatenate([centre, beside]), np.concatenate([radius_m, small_m]))
    owner = np.concatenate([np.arange(size.patches), second])
    days = pd.to_datetime("2019-05-01") + pd.to_timedelta(random.integers(0, 2500, len(owner)), unit="D")
    patch_manager = random.choice(["County", "State", "Rail company", "Private"], size.patches)
    patch_answer = random.choice(["yes", "no", "unknown"], size.patches, p=[0.6, 0.05, 0.35])
    frame = gpd.GeoDataFrame(
        {
            "id": [f"K{number:05d}" for number in range(len(owner))],
            "host": "ashthorn",
            "cover": np.round(random.uniform(1, 95, len(owner)), 1),
            "survey_date": days,
            "manager": patch_manager[owner],
            "permission": patch_answer[owner],
            "name": [f"Place {number}" for number in owner],
        },
        geometry=shapes,
        crs=CRS,
    )
    return centre, frame.iloc[random.permutation(len(frame))].reset_index(drop=True)


def _outlines(random: np.random.Generator, centre: Floats, radius_m: Floats) -> NDArray[np.object_]:
    turns = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
    reach = radius_m[:, None] * random.uniform(0.9, 1.2, (len(centre), CORNERS))
    ring = centre[:, None, :] + reach[..., None] * np.stack([np.cos(turns), np.sin(turns)], -1)
    return np.asarray(shapely.polygons(ring), dtype=object)


def _records(
    random: np.random.Generator, size: Size, centres: Floats
) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame]:
    """Return releases, eight in ten of them in a patch, and a visit to two in three of them."""
    count = size.releases
    inside = random.choice(len(centres), count)
    places = centres[inside]
    away = random.random(count) < 0.2
    places[away] += random.uniform(250, 600, (away.sum(), 2)) * random.choice([-1, 1], (away.sum(), 2))
    day = pd.to_datetime("2012-06-01") + pd.to_timedelta(random.integers(0, 5000, count), unit="D")
    ids = np.array([f"R{number:04d}" for number in range(count)])
    releases = gpd.GeoDataFrame(
        {"release_id": ids, "agent": "ashthorn weevil", "date": day, "number": 200},
        geometry=gpd.points_from_xy(*places.T),
        crs=CRS,
    )
    seen = np.flatnonzero(random.random(count) < 0.66)
    visited = day[seen] + pd.to_timedelta(random.integers(200, 2000, len(seen)), unit="D")
    seen, visited = seen[visited < "2026-10-01"], visited[visited < "2026-10-01"]
    visits = gpd.GeoDataFrame(
        {
            "visit_id": [f"V{number:04d}" for number in range(len(seen))],
            "release_id": ids[seen],
            "agent": "ashthorn weevil",
            "date": visited,
            "result": random.choice(["found", "not found"], len(seen), p=[0.4, 0.6]),
        },
        geometry=gpd.points_from_xy(*places[seen].T),
        crs=CRS,
    )
    return releases, visits


def _crews(size: Size) -> str:
    at = np.array([[0.25, 0.3], [0.7, 0.35], [0.5, 0.8]]) * size.side_m + np.array([WEST_M, SOUTH_M])
    degrees = gpd.GeoSeries(gpd.points_from_xy(*at.T), crs=CRS).to_crs(4326)
    return "".join(
        f'[[crews]]\nname = "Yard {number}"\nbase_longitude_deg = {point.x:.6f}\nbase_latitude_deg = {point.y:.6f}\n\n'
        for number, point in enumerate(degrees, 1)
    )


if __name__ == "__main__":
    make_season(Path(sys.argv[1]), float(sys.argv[2]))
