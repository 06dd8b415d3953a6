"""The sample season cut down to a few features of each layer, so that a check takes a fraction of a second."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import rasterio
from numpy.typing import NDArray
from rasterio.enums import Resampling

SAMPLE = Path(__file__).resolve().parents[2] / "sample_layers"
PLANE, DEGREES = "EPSG:32612", "EPSG:4326"
_FILES = {
    "infestations": "weed_map.gpkg",
    "surveyed_areas": "weed_map.gpkg",
    "releases": "programme.gpkg",
    "visits": "programme.gpkg",
    "requests": "requests.geojson",
    "treatments": "treatments.gpkg",
    "land_classes": "land.gpkg",
    "boundaries": "land.gpkg",
    "roads": "land.gpkg",
    "water": "land.gpkg",
    "places": "land.gpkg",
}
_FEW = {
    "surveyed_areas": 2,
    "releases": 5,
    "visits": 6,
    "requests": 3,
    "treatments": 2,
    "land_classes": 6,
    "roads": 4,
    "water": 3,
}
_NEAR_M = 400.0
_COARSER = {"elevation": 20, "tmin": 8, "tmax": 8, "precipitation": 8, "climate_elevation": 8}
# Two years of the only station: enough for dates by heat, and quick to read.
_DAYS = 731


@dataclass(frozen=True)
class Cells:
    """A raster held in memory.

    Parameters
    ----------
    values
        (bands, rows, columns) as stored.
    profile
        How rasterio writes it: driver, grid, reference system, nodata.
    tags
        What is set on the open file: ``scales``, ``offsets``, ``units``, ``descriptions``.
    """

    values: NDArray[Any]
    profile: Mapping[str, Any]
    tags: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class CutDown:
    """A few features of each vector layer of the sample, its rasters with large cells, and some weather."""

    vectors: Mapping[str, gpd.GeoDataFrame]
    rasters: Mapping[str, Cells]
    weather: pd.DataFrame


def read_cut_down() -> CutDown:
    """Return the cut-down sample: the infestations that records lie on, and those records."""
    whole = {
        name: gpd.read_file(SAMPLE / "layers" / file, layer=name, engine="pyogrio")
        for name, file in _FILES.items()
    }
    infestations = _infestations(whole)
    around = infestations.to_crs(PLANE).buffer(_NEAR_M).union_all()
    vectors = {"infestations": infestations}
    for name, frame in whole.items():
        if name in ("boundaries", "places"):
            vectors[name] = frame.reset_index(drop=True)
        elif name in _FEW:
            near = frame[frame.to_crs(PLANE).intersects(around)]
            vectors[name] = near.head(_FEW[name]).reset_index(drop=True)
    weather = pd.read_csv(SAMPLE / "weather" / "quillen_ford.csv", dtype=str, keep_default_na=False)
    rasters = {name: _coarse(name, step) for name, step in _COARSER.items()}
    return CutDown(vectors, rasters, weather.tail(_DAYS).reset_index(drop=True))


def _infestations(whole: Mapping[str, gpd.GeoDataFrame]) -> gpd.GeoDataFrame:
    """Return the first infestations that lie near a record of each kind, and two points."""
    frame = whole["infestations"]
    shapes = frame.to_crs(PLANE).geometry
    chosen: list[int] = []
    for name in ("releases", "requests", "treatments", "surveyed_areas"):
        ground = whole[name].to_crs(PLANE).union_all()
        near = np.flatnonzero(shapes.intersects(ground) & (shapes.geom_type == "Polygon"))
        chosen += [int(at) for at in near if at not in chosen][:2]
    chosen += np.flatnonzero(shapes.geom_type == "Point")[:2].tolist()
    return gpd.GeoDataFrame(frame.iloc[sorted(set(chosen))].reset_index(drop=True))


def _coarse(name: str, step: int) -> Cells:
    with rasterio.open(SAMPLE / "rasters" / f"{name}.tif") as file:
        shape = (file.count, file.height // step, file.width // step)
        values = file.read(out_shape=shape, resampling=Resampling.nearest)
        grid = file.transform * file.transform.scale(file.width / shape[2], file.height / shape[1])
        profile = {
            "driver": "GTiff",
            "count": shape[0],
            "height": shape[1],
            "width": shape[2],
            "dtype": values.dtype.name,
            "crs": file.crs,
            "transform": grid,
            "nodata": file.nodata,
        }
        return Cells(values, profile, {"scales": file.scales})


def plain(frame: gpd.GeoDataFrame) -> pd.DataFrame:
    """Return the columns without the shapes, every cell text."""
    table = pd.DataFrame(frame.drop(columns=frame.geometry.name))
    return table.astype(object).where(table.notna(), "").map(str)
