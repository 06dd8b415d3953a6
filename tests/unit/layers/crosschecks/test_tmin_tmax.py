import numpy as np
import pytest
from rasterio.transform import from_origin


def year(cold, size=(4, 4), file=""):
    return np.full((12, *size), cold)


def test_the_two_swapped(folder, told):
    folder.write_raster("tmin", year(12.0))
    folder.write_raster("tmax", year(2.0))
    layers = folder.read()
    assert layers.has("tmin")
    assert not layers.has("tmax")
    # 16 cells and the one infestation, 12 months each; it lies outside this raster of 0.04 degrees.
    assert told(layers, "tmin-above-tmax") == (
        "stop: layers.tmax\n"
        "  tmin is above tmax in 100.0 percent of 192 values looked at, most often in month 1: the two look swapped, "
        "or in different units.\n"
        "  Fix: Exchange the two files, or state the unit of each: units = {temperature = ...}"
    )


def test_a_few_cells_are_a_caution(folder, found):
    tmin, tmax = year(2.0, (12, 12)), year(12.0, (12, 12))
    tmin[6, 3, 7] = 13.0
    folder.write_raster("tmin", tmin)
    folder.write_raster("tmax", tmax)
    [finding] = found(folder.read(), "tmin-above-tmax")
    assert finding.grade == "caution"
    assert "in 0.1 percent of 1,740 values looked at, most often in month 7" in finding.what


@pytest.mark.parametrize("flip", [False, True])
def test_other_grids_and_south_up_files_are_held_at_the_same_places(folder, found, flip):
    """Warm in the south: read upside down, the minimum of one end would be above the maximum of the other."""
    row = np.arange(40.0)[None, :, None] * np.ones((12, 1, 40))
    folder.write_raster("tmin", row, transform=from_origin(-110.1, 47.1, 0.01, 0.01))
    fine = np.arange(80.0)[None, :, None] / 2 * np.ones((12, 1, 80)) + 3.0
    place = from_origin(249.9, 47.1, 0.005, 0.005)
    if flip:
        fine, place = fine[:, ::-1], place * place.translation(0, 80) * place.scale(1, -1)
    folder.write_raster("tmax", fine, transform=place)
    layers = folder.read()
    assert found(layers, "tmin-above-tmax") == []
    assert layers.rasters["tmax"].is_south_up is flip


def test_grids_that_do_not_meet_are_not_compared(folder, found):
    folder.write_raster("tmin", year(12.0))
    folder.write_raster("tmax", year(2.0), transform=from_origin(-110.1, 80.0, 0.000001, 0.000001))
    assert found(folder.read(), "tmin-above-tmax") == []
