"""Means of many bands over many patches: coverage once, against exactextract called band by band."""

import time

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from exactextract import exact_extract
from exactextract.raster import RasterioRasterSource
from pyproj import CRS

from geo_scout.model.layers import RasterLayer
from geo_scout.zones.cells import read_cells
from geo_scout.zones.coverage import measure_coverage
from geo_scout.zones.read import average

BANDS, PATCHES, SIDE = 19, 10_000, 750
UTM = CRS.from_epsg(32612)


@pytest.fixture
def raster(tmp_path) -> RasterLayer:
    path = tmp_path / "climate.tif"
    random = np.random.default_rng(1)
    transform = Affine(800, 0, 0, 0, -800, SIDE * 800)
    profile = {"driver": "GTiff", "count": BANDS, "width": SIDE, "height": SIDE, "dtype": "float32",
               "crs": "EPSG:32612", "transform": transform, "tiled": True, "compress": "deflate"}  # fmt: skip
    with rasterio.open(path, "w", **profile) as file:
        file.write(random.normal(size=(BANDS, SIDE, SIDE)).astype("float32"))
    names = tuple(f"bio{band:02d}" for band in range(1, BANDS + 1))
    ones, zeros = (1.0,) * BANDS, (0.0,) * BANDS
    return RasterLayer("bioclim", (path,), names, UTM, transform, SIDE, SIDE, (None,) * BANDS, ones, zeros)


def patches(count: int) -> gpd.GeoDataFrame:
    random = np.random.default_rng(2)
    centres = random.uniform(2_000, SIDE * 800 - 2_000, (count, 2))
    shapes = shapely.buffer(shapely.points(centres), random.uniform(30, 400, count), quad_segs=8)
    return gpd.GeoDataFrame(geometry=shapes, crs=UTM)


def test_coverage_once_beats_band_by_band(raster, scale):
    zones = patches(int(PATCHES * scale))
    start = time.perf_counter()
    coverage = measure_coverage(zones.geometry, raster.crs, raster.transform)
    means, _ = average(coverage.weights, read_cells(raster, coverage.rows, coverage.columns))
    ours = time.perf_counter() - start

    start = time.perf_counter()
    by_band = []
    with rasterio.open(raster.files[0]) as file:
        for band in range(1, BANDS + 1):
            source = RasterioRasterSource(file, band)
            by_band.append(exact_extract(source, zones, ["mean"], output="pandas")["mean"])
    theirs = time.perf_counter() - start

    print(
        f"\n{len(zones)} patches x {BANDS} bands: {ours:.2f} s; band by band {theirs:.2f} s; ratio {theirs / ours:.1f}"
    )
    np.testing.assert_allclose(means, np.array(by_band), atol=1e-6)
    # Measured 8 to 15; the limit leaves room for a noisy machine.
    assert theirs / ours > 3
