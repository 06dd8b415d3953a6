"""Where the relief stands on the screen, from the raster's own cells to pixels, against pyproj: under one pixel.

Leaflet is followed by its own formulas (version 1.9.4): `SphericalMercator.project`, corners of pictures rounded to
whole pixels (`ImageOverlay._reset`), tiles moved by whole pixels and then scaled (`GridLayer._setZoomTransform`).
"""

import importlib.util
import math
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from geo_scout.model.zones import DEEPEST_ZOOM, ReliefGrid
from geo_scout.outputs.map.page import OfflineMap
from geo_scout.outputs.relief import draw_relief
from geo_scout.zones.relief import warp_elevation

RADIUS_M = 6_378_137.0
ZOOMS = [3, 5, 7.25, 9, 11, 12.5, 14, 15.75, 16, 17]
FloatArray = NDArray[np.float64]


def _raster_files() -> ModuleType:
    path = Path(__file__).parents[3] / "raster_files.py"
    spec = importlib.util.spec_from_file_location("raster_files", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _px_by_leaflet(longitude_deg: float, latitude_deg: float, zoom: float) -> tuple[float, float]:
    sine = math.sin(math.radians(latitude_deg))
    share = 0.5 / (math.pi * RADIUS_M)
    east_m = RADIUS_M * math.radians(longitude_deg)
    north_m = RADIUS_M * math.log((1 + sine) / (1 - sine)) / 2
    return 256 * 2**zoom * (share * east_m + 0.5), 256 * 2**zoom * (-share * north_m + 0.5)


def _in_the_picture(relief: ReliefGrid, zoom: float) -> tuple[FloatArray, FloatArray]:
    """Return where the middles of columns and of rows are drawn [pixels of the world]."""
    picture = draw_relief(relief, largest_side_px=256)
    west, north = map(round, _px_by_leaflet(picture.west_deg, picture.north_deg, zoom))
    east, south = map(round, _px_by_leaflet(picture.east_deg, picture.south_deg, zoom))
    rows, columns = relief.elevation_m.shape
    return (
        west + (np.arange(columns) + 0.5) / columns * (east - west),
        north + (np.arange(rows) + 0.5) / rows * (south - north),
    )


def _in_tiles(relief: ReliefGrid, zoom: float) -> tuple[FloatArray, FloatArray]:
    assert relief.zoom is not None
    scale = 2 ** (zoom - relief.zoom)
    half_m = math.pi * RADIUS_M
    rows, columns = relief.elevation_m.shape
    drawn = []
    for first_m, count in ((relief.transform.c + half_m, columns), (half_m - relief.transform.f, rows)):
        pixels = first_m / relief.transform.a + np.arange(count) + 0.5
        origin = round(pixels[0] * scale) - 123  # of the view at its zoom, and then of the level's tiles
        level_origin = round(origin / scale)
        drawn.append((pixels - level_origin) * scale + round(level_origin * scale - origin) + origin)
    return drawn[0], drawn[1]


@pytest.mark.parametrize(
    ("code", "longitude_deg", "latitude_deg", "columns"),
    [(32611, -117.0, 46.0, 260), (32612, -117.0, 46.0, 260), (32633, 20.4, 69.9, 260), (32755, 144.3, -37.0, 260),
     (4326, 11.0, 0.2, 260), (3035, 24.0, 61.0, 3_000), (32633, 20.4, 69.9, 3_000)],
)  # fmt: skip
def test_the_ground_is_shown_within_a_pixel_of_where_pyproj_has_it(
    tmp_path: Path, code: int, longitude_deg: float, latitude_deg: float, columns: int
) -> None:
    """Each cell of the raster holds its own easting, or northing, on the map: the relief tells what it shows where."""
    crs = CRS.from_epsg(code)
    cell, rows = (30.0 if crs.is_projected else 3e-4), 240
    east, north = Transformer.from_crs(4326, crs, always_xy=True).transform(longitude_deg, latitude_deg)
    west, top = east - columns / 2 * cell, north + rows / 2 * cell
    places = np.meshgrid(west + (np.arange(columns) + 0.5) * cell, top - (np.arange(rows) + 0.5) * cell)
    mercator_m = Transformer.from_crs(crs, 3857, always_xy=True).transform(*places)
    inner = west + 30 * cell, top - (rows - 30) * cell, west + (columns - 30) * cell, top - 30 * cell
    for axis in (0, 1):
        origin_m = float(mercator_m[axis].min())
        raster = _raster_files().write_raster(
            tmp_path, mercator_m[axis] - origin_m, crs=crs, west=west, north=top, cell=cell, dtype="float64"
        )
        relief = warp_elevation(raster, inner, crs)
        assert relief is not None
        assert (relief.zoom is None) == (columns < 2_000)
        shows_m = relief.elevation_m.astype(np.float64) + origin_m
        # The outermost half cell of the raster has its last value throughout.
        lies_m = np.meshgrid(
            relief.transform.c + (np.arange(relief.elevation_m.shape[1]) + 0.5) * relief.transform.a,
            relief.transform.f + (np.arange(relief.elevation_m.shape[0]) + 0.5) * relief.transform.e,
        )
        across, up = Transformer.from_crs(3857, crs, always_xy=True).transform(*lies_m)
        is_inside = (np.abs(across - east) < (columns / 2 - 1) * cell) & (
            np.abs(up - north) < (rows / 2 - 1) * cell
        )
        assert is_inside.sum() > 20_000
        for zoom in ZOOMS:
            m_per_px = 2 * math.pi * RADIUS_M / 256 / 2**zoom
            true_px = 128 * 2**zoom + (shows_m if axis == 0 else -shows_m) / m_per_px
            for drawn in (_in_the_picture, _in_tiles) if relief.zoom else (_in_the_picture,):
                drawn_px = drawn(relief, zoom)[axis]
                shift_px = true_px - (drawn_px[None, :] if axis == 0 else drawn_px[:, None])
                assert np.abs(shift_px[is_inside]).max() < 1.0, (zoom, drawn)


def test_these_are_the_zooms_the_map_offers() -> None:
    season_map = OfflineMap(46.0, -117.0)
    season_map.render()  # type: ignore[no-untyped-call]
    script = season_map.frame.script.render()
    assert f"maxZoom: {DEEPEST_ZOOM}," in script
    assert max(ZOOMS) == DEEPEST_ZOOM
