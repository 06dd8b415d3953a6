import numpy as np
import pytest

from geo_scout.layers.rasters.month_order import months_of

YEAR = list(range(1, 13))
BY_LETTERS = sorted(YEAR, key=str)
NAMES = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


@pytest.mark.parametrize(
    ("names", "months"),
    [
        ([f"climate/tmin_{month}.tif" for month in BY_LETTERS], BY_LETTERS),
        ([f"5km_2010_{month:02d}_12.tif" for month in YEAR], YEAR),
        ([f"{name}_tmin.tif" for name in NAMES], YEAR),
        (
            [f"{name}uary" if name == "Jan" else name for name in sorted(NAMES)],
            [4, 8, 12, 2, 1, 7, 6, 3, 5, 11, 10, 9],
        ),
        # Names that tell nothing: no months, one twice, a word more, years.
        ([""] * 12, []),
        ([f"tmin_{min(month, 11)}.tif" for month in YEAR], []),
        (["tmin_1.tif", *(f"tmin_mean_{month}.tif" for month in YEAR[1:])], []),
        ([f"tmin_{2000 + month}.tif" for month in YEAR], []),
    ],
)
def test_months_are_told_by_one_number_or_word(names, months):
    assert list(months_of(names)) == months


@pytest.fixture
def months(folder):
    for month in YEAR:
        folder.write_raster("x", np.full((2, 2), float(month)), file=f"tmin_{month:02d}.tif")
    folder.layers.clear()
    return folder


def test_a_list_of_files_in_another_order_stops(months, told):
    order = [10, 11, 12, *range(1, 10)]
    months.layers["tmin"] = {"paths": [f"tmin_{month:02d}.tif" for month in order]}
    layers = months.read()
    assert not layers.has("tmin")
    assert told(layers, "month-order") == (
        "stop: layers.tmin\n"
        "  by their names its files are the months 10, 11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9: 'tmin_10.tif', 'tmin_11.tif', "
        "'tmin_12.tif' and 9 more.\n"
        '  Fix: Give them in the order January to December, or all by one pattern: path = "tmin_{month:02}.tif"'
    )


def test_bands_described_in_another_order_stop(folder, told):
    names = tuple(f"tmin_{month}" for month in BY_LETTERS)
    folder.write_raster("tmin", np.full((12, 2, 2), 5.0), descriptions=names)
    assert told(folder.read(), "month-order") == (
        "stop: layers.tmin\n"
        "  by their names its bands are the months 1, 10, 11, 12, 2, 3, 4, 5, 6, 7, 8, 9: 'tmin_1', 'tmin_10', "
        "'tmin_11' and 9 more.\n"
        "  Fix: Give them in the order January to December."
    )
