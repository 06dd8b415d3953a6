"""The tiny season on disk: six named sites on ten by ten cells of one kilometre.

Positions are kilometres east and north of the south-west corner, which lies on the central meridian of UTM
zone 12 (111 W) at northing 5,200,000 m, near 47 N. There the grid is 0.9996 of the ground, so that a
kilometre on the grid is 1.0004 km and a hectare on the grid 1.0008 ha on the ground.

::

    km north
    10 +---------------------------------------+
     9 |  [1 1]                                |   1 Alder bend    2 Birch ford
     8 |  [1 1]                           4    |   3 Cedar flat    4 Dune edge
     7 |                                       |   5 Elm hollow    6 Fir terrace
     6 |                              [6 6]    |   B crew base
     5 |             2      B         [6 6]    |
     4 |                                       |   elevation  1,000 m + 100 m a column + 10 m a row
     3 |                                       |   bio01      10 degC - 1 degC a column
     2 |                       3 3             |   (columns 0-9 from the west, rows 0-9 from the north)
     1 |        [5 5]                          |
     0 +---------------------------------------+
       0   1   2   3   4   5   6   7   8   9   10 km east
"""

from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from pyproj import Transformer

import geo_scout
from geo_scout import SeasonResult

UTM = 32612
WEST_M, SOUTH_M = 500_000.0, 5_200_000.0
BASE_KM = (5.0, 5.0)
# id: name, west, south, east, north [km], cover [pct], permission
SITES = {
    "1": ("Alder bend", 0.5, 8.5, 1.5, 9.5, 20.0, "yes"),
    "2": ("Birch ford", 3.2, 5.1, 3.7, 5.5, 50.0, "yes"),
    "3": ("Cedar flat", 5.75, 2.2, 6.25, 2.6, 25.0, ""),
    "4": ("Dune edge", 8.1, 8.1, 8.2, 8.2, 10.0, "yes"),
    "5": ("Elm hollow", 2.1, 1.1, 3.9, 1.9, 12.5, "yes"),
    "6": ("Fir terrace", 7.5, 5.5, 8.5, 6.5, 40.0, "no"),
}
SEASON = """
format = 1

[season]
title = "Tiny season"
as_of = 2026-11-01
start = 2027-05-01
end = 2027-09-15
agents = ["agents/weevil.toml"]

[layers.infestations]
path = "weeds.gpkg"
units = {{cover = "percent"}}

[layers.releases]
path = "releases.gpkg"

[layers.visits]
path = "visits.gpkg"

[layers.boundaries]
path = "districts.gpkg"

[layers.elevation]
path = "elevation.tif"
required = true

[layers.bioclim]
path = "climate.tif"
bands = ["bio01"]

[climate]
variables = ["bio01"]

[[crews]]
name = "Yard"
base_longitude_deg = {longitude_deg!r}
base_latitude_deg = {latitude_deg!r}

[rules]
min_infested_ha = 0.5

[criteria.release.host_area]
weight = 2
curve = {{shape = "rising", from = 0, to = 20}}

[criteria.release.crew_distance]
weight = 1
curve = {{shape = "falling", from = 0, to = 10}}

[criteria.release.climate_gap]
weight = 1
curve = {{shape = "falling", from = 0, to = 2}}

[criteria.release.elevation_difference]
weight = 1
curve = {{shape = "falling", from = 0, to = 500}}

[criteria.source.host_area]
weight = 1
curve = {{shape = "rising", from = 0, to = 40}}

[criteria.source.crew_distance]
weight = 1
curve = {{shape = "falling", from = 0, to = 10}}
"""
AGENT = """
format = 1
name = "tiny weevil"
host = "ashthorn"
host_code = "TINY"

[establishment]
prior_share = 0.5
years_to_confirm = 2
years_to_harvest = 3

[[legal_status]]
jurisdiction = "Harrowmere"
status = "allowed"
checked_on = 2026-06-01
"""


def square(west_km: float, south_km: float, east_km: float, north_km: float) -> shapely.Polygon:
    corner, opposite = point(west_km, south_km), point(east_km, north_km)
    return shapely.box(corner.x, corner.y, opposite.x, opposite.y)


def point(east_km: float, north_km: float) -> shapely.Point:
    return shapely.Point(WEST_M + 1000 * east_km, SOUTH_M + 1000 * north_km)


def degrees(east_km: float, north_km: float) -> tuple[float, float]:
    to_degrees = Transformer.from_crs(UTM, 4326, always_xy=True)
    return to_degrees.transform(WEST_M + 1000 * east_km, SOUTH_M + 1000 * north_km)


def write_layer(folder: Path, name: str, shapes: list[Any], /, **columns: list[Any]) -> None:
    gpd.GeoDataFrame(columns, geometry=shapes, crs=UTM).to_file(folder / f"{name}.gpkg")


def write_cells(folder: Path, name: str, cells: Any) -> None:
    profile = {
        "driver": "GTiff",
        "count": 1,
        "height": 10,
        "width": 10,
        "dtype": "float64",
        "crs": f"EPSG:{UTM}",
    }
    transform = Affine(1000.0, 0.0, WEST_M, 0.0, -1000.0, SOUTH_M + 10_000.0)
    with rasterio.open(folder / f"{name}.tif", "w", transform=transform, **profile) as file:
        file.write(cells, 1)


def write_tiny_season(folder: Path) -> Path:
    rows = list(SITES.values())
    write_layer(
        folder, "weeds", [square(*one[1:5]) for one in rows],
        id=list(SITES), host=["ashthorn"] * 6, name=[one[0] for one in rows], cover=[one[5] for one in rows],
        permission=[one[6] for one in rows], survey_date=["2026-06-01"] * 6,
    )  # fmt: skip
    # R1 lies in Elm hollow (5) and was found there; R2 lies in Birch ford (2) and nobody has been back.
    write_layer(
        folder, "releases", [point(3.0, 1.5), point(3.45, 5.3)],
        release_id=["R1", "R2"], agent=["tiny weevil"] * 2, date=["2020-05-01", "2025-05-10"],
    )  # fmt: skip
    write_layer(
        folder, "visits", [point(3.0, 1.5)],
        visit_id=["V1"], release_id=["R1"], agent=["tiny weevil"], date=["2023-06-01"], result=["found"],
    )  # fmt: skip
    write_layer(folder, "districts", [square(-1, -1, 11, 11)], district=["Tarn"], jurisdiction=["Harrowmere"])
    row, column = np.mgrid[:10, :10].astype(float)
    write_cells(folder, "elevation", 1000 + 100 * column + 10 * row)
    write_cells(folder, "climate", 10 - column)
    longitude_deg, latitude_deg = degrees(*BASE_KM)
    season = SEASON.format(longitude_deg=longitude_deg, latitude_deg=latitude_deg)
    (folder / "season.toml").write_text(season, encoding="utf-8")
    (folder / "agents").mkdir()
    (folder / "agents" / "weevil.toml").write_text(AGENT, encoding="utf-8")
    return folder / "season.toml"


@pytest.fixture(scope="module")
def season_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_tiny_season(tmp_path_factory.mktemp("tiny"))


@pytest.fixture(scope="module")
def result(season_file: Path) -> SeasonResult:
    return geo_scout.run(season_file, write=False)
