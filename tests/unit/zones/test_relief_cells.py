"""Which cells the relief has: the raster's, or pixels of tiles as web maps number them."""

import math

import pytest

from geo_scout.zones.relief_cells import LONGEST_SIDE_PX, MOST_CELLS, relief_cells

HALF_M = 20_037_508.342789244  # EPSG:3857's own edge, as in its definition in the EPSG registry
PIXEL_0_M = 156_543.03392804097  # OGC Two Dimensional Tile Matrix Set, WebMercatorQuad, cell size of level 0


def _area(width_m, height_m, west_m=-12_300_000.0, north_m=5_900_000.0):
    return west_m, north_m - height_m, west_m + width_m, north_m


def test_a_raster_that_one_picture_shows_keeps_its_cells():
    cells = relief_cells(_area(20_480, 10_240), 10.0)
    assert (cells.columns, cells.rows, cells.zoom) == (2048, 1024, None)
    assert cells.transform.a == pytest.approx(10.0)
    assert (cells.transform.c, cells.transform.f) == (-12_300_000.0, 5_900_000.0)


@pytest.mark.parametrize("native_m", [1.3, 7.0, 10.0, 13.5, 30.0, 90.0])
@pytest.mark.parametrize("cells_across", [2_049, 2_500, 3_000, 4_095])
def test_a_finer_raster_is_read_in_pixels_of_tiles_that_show_more_than_the_picture(native_m, cells_across):
    area = _area(native_m * cells_across, native_m * cells_across * 0.6)
    cells = relief_cells(area, native_m)
    pixel_m = PIXEL_0_M / 2**cells.zoom
    assert cells.transform.a == pytest.approx(pixel_m, rel=1e-12)
    assert cells.transform.e == pytest.approx(-pixel_m, rel=1e-12)
    # The corner is a whole number of pixels from the corner of the world, and the area is covered, just so.
    west, north = (cells.transform.c + HALF_M) / pixel_m, (HALF_M - cells.transform.f) / pixel_m
    assert west == pytest.approx(round(west), abs=1e-4)
    assert north == pytest.approx(round(north), abs=1e-4)
    edges = (cells.transform.c, cells.transform.f + cells.rows * cells.transform.e)
    assert area[0] - pixel_m < edges[0] <= area[0] + 1e-6
    assert area[1] - pixel_m < edges[1] <= area[1] + 1e-6
    assert cells.columns > 2048
    assert pixel_m <= native_m * math.sqrt(2) + 1e-9
    assert pixel_m > native_m / 2


def test_no_pixels_are_asked_for_that_the_map_never_shows():
    # Half a metre on the ground over 2 km: at zoom 17, the nearest, the whole is smaller than the picture.
    assert relief_cells(_area(2_000, 2_000), 0.5).zoom is None
    assert relief_cells(_area(3_000, 3_000), 0.5).zoom == 17


@pytest.mark.parametrize(("width_m", "height_m"), [(500_000, 500_000), (900_000, 100_000), (40_000, 700_000)])
def test_memory_is_bounded(width_m, height_m):
    cells = relief_cells(_area(width_m, height_m), 10.0)
    assert max(cells.rows, cells.columns) <= LONGEST_SIDE_PX
    assert cells.rows * cells.columns <= MOST_CELLS
    assert max(cells.rows, cells.columns) > 2048


def test_the_world_ends_where_its_tiles_do():
    cells = relief_cells((-HALF_M, -HALF_M, HALF_M, HALF_M), 1_000.0)
    assert cells.columns == cells.rows == 256 * 2**cells.zoom
