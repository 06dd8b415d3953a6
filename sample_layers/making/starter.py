"""The starter season: six patches of one weed on three kilometres of an invented valley."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from pyproj import Transformer
from shapely import Point, box

from making.climate import normals
from making.files import Table, write_climate_bands, write_geojson, write_metres
from making.frame import GEOGRAPHIC_CRS, PLANE_CRS, Floats, chance, settle
from making.lines import draw_blob

WEST_M, NORTH_M = 601_200.0, 5_222_100.0
CELLS, CELL_M = 10, 300.0
# The climate grid's upper left corner and steps [deg]: about the same ground, cells of about the same size.
WEST_DEG, NORTH_DEG, EAST_STEP_DEG, NORTH_STEP_DEG = -109.6656, 47.1446, 0.004, 0.0027


@dataclass(frozen=True)
class Patch:
    """One patch: name, middle [m east and south of the upper left corner], size, shape, what is on file."""

    name: str
    east_m: float
    south_m: float
    area_ha: float
    stretch: float
    direction: float
    cover_pct: int
    survey_date: str
    permission: str | None


PATCHES = (
    Patch("Mill verge", 640, 2_300, 26, 3.0, 0.4, 60, "2026-06-11", "yes"),
    Patch("Church flat", 2_300, 760, 24, 2.4, 0.7, 45, "2026-06-12", "yes"),
    Patch("Top fence", 640, 520, 14, 2.6, 0.2, 35, "2025-07-02", "yes"),
    Patch("Old pit", 1_500, 1_250, 0.6, 1.3, 0.0, 15, "2021-06-20", "yes"),
    Patch("Ford bank", 1_560, 2_350, 12, 2.8, 0.1, 50, "2026-06-11", "yes"),
    Patch("East gate", 2_470, 1_900, 20, 2.0, 1.5, 30, "2024-08-05", None),
)


def _elevation_m(east_m: Floats, south_m: Floats) -> Floats:
    """Return a slope that falls to the south-east, with a hill [m], from distances off the corner [m]."""
    hill = 90 / (1 + ((east_m - 900) / 700) ** 2 + ((south_m - 500) / 600) ** 2)
    return settle(1_120 - 0.035 * east_m - 0.045 * south_m + hill, 1)


def _infestations() -> Table:
    """Return the six patches."""
    random = chance("starter")
    shapes: list[object] = [
        draw_blob(
            random,
            (WEST_M + patch.east_m, NORTH_M - patch.south_m),
            patch.area_ha,
            patch.stretch,
            patch.direction,
            0.35,
        )
        for patch in PATCHES
    ]
    return {
        "id": [f"{number}" for number in range(1, len(PATCHES) + 1)],
        "host": ["ashthorn" for _ in PATCHES],
        "name": [patch.name for patch in PATCHES],
        "cover": [patch.cover_pct for patch in PATCHES],
        "survey_date": [patch.survey_date for patch in PATCHES],
        "manager": [
            "Fenner's Hold" if patch.name == "East gate" else "Tallow Creek Grazing Board"
            for patch in PATCHES
        ],
        "permission": [patch.permission for patch in PATCHES],
        "geometry": shapes,
    }


def _at(patch: Patch) -> Point:
    """Return the middle of a patch."""
    return Point(WEST_M + patch.east_m, NORTH_M - patch.south_m)


def _releases() -> Table:
    """Return two releases: one that took, one nobody has looked at yet."""
    return {
        "release_id": ["R1", "R2"],
        "agent": ["ashthorn stem weevil"] * 2,
        "date": ["2020-06-09", "2025-06-17"],
        "number": [200, 150],
        "coordinate_uncertainty_m": [10, 10],
        "geometry": [_at(PATCHES[0]), _at(PATCHES[2])],
    }


def _visits() -> Table:
    """Return two visits to the first release."""
    return {
        "visit_id": ["V1", "V2"],
        "release_id": ["R1", "R1"],
        "agent": ["ashthorn stem weevil"] * 2,
        "date": ["2022-06-21", "2025-06-24"],
        "result": ["not found", "found"],
        "method": ["sweep net", "sweep net"],
        "effort_hours": [0.5, 1.0],
        "count": [0, 34],
        "coordinate_uncertainty_m": [10, 10],
        "geometry": [_at(PATCHES[0]), _at(PATCHES[0])],
    }


def _boundaries() -> Table:
    """Return one district, so that the law that holds there is known."""
    edge_m = CELLS * CELL_M
    return {
        "district": ["Orrin Bench"],
        "jurisdiction": ["Harrowmere"],
        "geometry": [box(WEST_M, NORTH_M - edge_m, WEST_M + edge_m, NORTH_M)],
    }


def _climate() -> tuple[Floats, Floats, Floats]:
    """Return minimum and maximum [degC] and precipitation [mm], each of shape (12, 10, 10)."""
    middle = np.arange(CELLS) + 0.5
    longitude_deg, latitude_deg = np.meshgrid(
        WEST_DEG + middle * EAST_STEP_DEG, NORTH_DEG - middle * NORTH_STEP_DEG
    )
    to_plane = Transformer.from_crs(GEOGRAPHIC_CRS, PLANE_CRS, always_xy=True)
    easting_m, northing_m = to_plane.transform(longitude_deg, latitude_deg)
    elevation_m = _elevation_m(settle(easting_m - WEST_M, 1), settle(NORTH_M - northing_m, 1))
    return normals(elevation_m, settle(elevation_m - elevation_m.min(), 1))


def write_starter(folder: Path) -> None:
    """Write the starter's layers into this folder; its season file and profile are written by hand."""
    layers = folder / "layers"
    layers.mkdir(parents=True, exist_ok=True)
    tables = {
        "infestations": _infestations(),
        "releases": _releases(),
        "visits": _visits(),
        "boundaries": _boundaries(),
    }
    for name, table in tables.items():
        write_geojson(layers / f"{name}.geojson", table)
    middle_m = (np.arange(CELLS) + 0.5) * CELL_M
    write_metres(
        layers / "elevation.tif",
        settle(_elevation_m(*np.meshgrid(middle_m, middle_m)), 0),
        WEST_M,
        NORTH_M,
        CELL_M,
    )
    tmin, tmax, precipitation = _climate()
    corner = (WEST_DEG, NORTH_DEG, EAST_STEP_DEG, NORTH_STEP_DEG)
    write_climate_bands(layers / "tmin.tif", corner, tmin, "mean daily minimum [degC]", 0.1)
    write_climate_bands(layers / "tmax.tif", corner, tmax, "mean daily maximum [degC]", 0.1)
    write_climate_bands(layers / "precipitation.tif", corner, precipitation, "sum [mm]", None)
