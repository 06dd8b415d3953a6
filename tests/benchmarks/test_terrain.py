"""Slope, aspect and heat load of a state's patches, against gdaldem working out slope and aspect everywhere.

Ours runs in a process of its own, so that the peak of its memory is its own.
"""

import json
import os
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from pyproj import CRS
from rasterio.windows import Window
from scipy.ndimage import zoom

from geo_scout.formulas.terrain import aspect_deg, horn_gradient, slope_deg
from geo_scout.model.layers import RasterLayer
from geo_scout.model.zones import TerrainAsked
from geo_scout.zones.coverage import measure_coverage
from geo_scout.zones.terrain import read_terrain

PATCHES, HEIGHT, WIDTH, CELL_M = 100_000, 13_000, 20_000, 30.0
# So many times the patches cover a little less than a fifth of the cells.
CROWD = 4.9
MOST_MB = 1536
ALBERS = CRS.from_epsg(5070)
GRID = Affine(CELL_M, 0, -300_000, 0, -CELL_M, 1_800_000)
ROUNDS = 2


def write_elevation(path: Path, height: int, width: int) -> None:
    """Write rolling ground with some roughness, 512 rows at a time."""
    random = np.random.default_rng(1)
    hills = random.normal(800, 120, (height // 64 + 12, width // 64 + 3))
    profile = {"driver": "GTiff", "count": 1, "width": width, "height": height, "dtype": "float32", "crs": ALBERS,
               "transform": GRID, "tiled": True, "blockxsize": 512, "blockysize": 512, "compress": "deflate"}  # fmt: skip
    with rasterio.open(path, "w", num_threads=2, **profile) as file:
        for top in range(0, height, 512):
            rows = min(512, height - top)
            ground = zoom(hills[top // 64 : top // 64 + 9], 64, order=1)[:rows, :width].astype("float32")
            ground += random.normal(0, 0.5, ground.shape).astype("float32")
            file.write(ground, 1, window=Window(0, top, width, rows))


def patches(count: int, height: int, width: int) -> gpd.GeoSeries:
    """Return round patches of 0.1 to 50 ha, as many small as large ones on a log scale."""
    random = np.random.default_rng(2)
    radius_m = np.sqrt(np.exp(random.uniform(np.log(0.1), np.log(50.0), count)) * 1e4 / np.pi)
    east = random.uniform(GRID.c + 1_000, GRID.c + width * CELL_M - 1_000, count)
    north = random.uniform(GRID.f - height * CELL_M + 1_000, GRID.f - 1_000, count)
    return gpd.GeoSeries(shapely.buffer(shapely.points(east, north), radius_m, quad_segs=8), crs=ALBERS)


def work(path: Path, count: int, height: int, width: int, quantities: str) -> dict[str, float]:
    """Return seconds and megabytes of the coverage and of the terrain of all patches.

    Processor's seconds are those of all threads: other work on the machine does not count.
    """
    one, zero = (1.0,), (0.0,)
    raster = RasterLayer(
        "elevation", (path,), ("elevation_m",), ALBERS, GRID, width, height, (None,), one, zero
    )
    zones = patches(count, height, width)
    start = time.perf_counter()
    coverage = measure_coverage(zones, raster.crs, raster.transform, (height, width))
    covered = time.perf_counter()
    asked = TerrainAsked(frozenset(quantities.split(",")))
    start_processor = time.process_time()
    found = read_terrain(raster, coverage, asked)
    end, end_processor = time.perf_counter(), time.process_time()
    return {
        "coverage_s": covered - start,
        "terrain_s": end - covered,
        "processor_s": end_processor - start_processor,
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "cells_share": len(coverage.rows) / (height * width),
        "slope_deg": float(np.nanmean(found.mean["slope_deg"])),
    }


def ours(path: Path, count: int, height: int, width: int, *quantities: str) -> dict[str, float]:
    call = [sys.executable, __file__, str(path), str(count), str(height), str(width), ",".join(quantities)]
    answer = subprocess.run(call, capture_output=True, text=True, check=True)
    return dict(json.loads(answer.stdout))


def gdaldem(path: Path) -> tuple[float, float]:
    """Return the seconds, and the processor's, that gdaldem takes for slope and aspect, uncompressed, its quickest way."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    for kind in ("slope", "aspect"):
        answer = path.with_name(f"{kind}.tif")
        subprocess.run(["gdaldem", kind, str(path), str(answer), "-q"], check=True)
        answer.unlink()
    end, after = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    return end - start, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def whole_array(path: Path) -> tuple[float, float]:
    """Return the seconds, and the processor's, that NumPy takes for slope and aspect of the whole raster at once."""
    start, start_processor = time.perf_counter(), time.process_time()
    with rasterio.open(path) as file:
        gradient = horn_gradient(file.read(1), CELL_M, CELL_M)
    slope_deg(*gradient)
    aspect_deg(*gradient)
    return time.perf_counter() - start, time.process_time() - start_processor


@pytest.fixture
def baseline() -> tuple[str, Callable[[Path], tuple[float, float]]]:
    if shutil.which("gdaldem") is not None:
        return "gdaldem", gdaldem
    if not os.environ.get("CI"):
        pytest.skip("gdaldem is not installed (apt-get install gdal-bin)")
    return "whole-array NumPy", whole_array


def test_terrain_where_sites_are_beats_terrain_everywhere(tmp_path, scale, baseline):
    side = np.sqrt(scale)
    count, height, width = int(PATCHES * scale), int(HEIGHT * side), int(WIDTH * side)
    path = tmp_path / "elevation.tif"
    write_elevation(path, height, width)
    (name, everywhere), asked = baseline, ("slope_deg", "aspect_deg", "heat_load")
    runs = [(ours(path, count, height, width, *asked), *everywhere(path)) for _ in range(ROUNDS)]
    found, peak_mb = runs[0][0], max(run["peak_mb"] for run, *_ in runs)
    terrain_s, coverage_s = (min(run[key] for run, *_ in runs) for key in ("terrain_s", "coverage_s"))
    everywhere_s = min(seconds for _, seconds, _ in runs)
    print(
        f"\n{count:,} patches on {width:,} x {height:,} cells, {found['cells_share']:.1%} of them: terrain "
        f"{terrain_s:.2f} s after a coverage of {coverage_s:.2f} s, peak {peak_mb:,.0f} MB; {name} everywhere "
        f"{everywhere_s:.2f} s; ratio {everywhere_s / terrain_s:.1f}"
    )
    assert found["cells_share"] < 0.2
    assert 0.5 < found["slope_deg"] < 20.0
    # The coverage is not counted: the mean elevation needs it anyway, and so would means of gdaldem's rasters.
    assert terrain_s < everywhere_s
    assert peak_mb < MOST_MB


def test_just_under_a_fifth_slope_and_aspect_still_cost_less_than_everywhere(tmp_path, scale, baseline):
    """The same two quantities, with their means by patch on our side; on a tenth of the raster, by processor's seconds."""
    side = np.sqrt(0.1 * scale)
    count, height, width = int(0.1 * PATCHES * CROWD * scale), int(HEIGHT * side), int(WIDTH * side)
    path = tmp_path / "elevation.tif"
    write_elevation(path, height, width)
    name, everywhere = baseline
    runs = [
        (ours(path, count, height, width, "slope_deg", "aspect_deg"), *everywhere(path))
        for _ in range(ROUNDS)
    ]
    found, terrain_s = runs[0][0], min(run["processor_s"] for run, *_ in runs)
    everywhere_s = min(seconds for *_, seconds in runs)
    print(
        f"\n{count:,} patches on {found['cells_share']:.1%} of {width:,} x {height:,} cells: {terrain_s:.2f} s of the "
        f"processor; {name} everywhere {everywhere_s:.2f} s; ratio {everywhere_s / terrain_s:.2f}"
    )
    assert 0.15 < found["cells_share"] < 0.2
    # Measured 1.1 to 1.4.
    assert terrain_s < everywhere_s


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[2:5]]
    print(json.dumps(work(Path(sys.argv[1]), *numbers, sys.argv[5])))
