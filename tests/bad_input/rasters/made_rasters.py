"""One function for each case: it writes its rasters beside the season and returns what the season says of them.

The good raster has 10 x 10 cells of 0.01 degrees with their north-west corner at 110 W, 47.1 N. Of the two sites one
lies within the cell of row 4, column 4 and one within that of row 7, column 7, each in its middle.
"""

import warnings
from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from affine import Affine
from numpy.typing import NDArray
from rasterio.errors import NotGeoreferencedWarning
from rasterio.transform import from_origin
from scipy.io import netcdf_file

WEST, NORTH, CELL = -110.0, 47.1, 0.01
HERE = from_origin(WEST, NORTH, CELL, CELL)
# 400 x 400 cells over the same ground.
FINE = from_origin(WEST, NORTH, CELL / 40, CELL / 40)
GROUND_M = np.add.outer(1000.0 + 10.0 * np.arange(10), np.arange(10)).astype("float32")
# January is the coldest month, July the warmest, 20 degrees apart.
SEASON_DEGC = -10.0 * np.cos(2.0 * np.pi * np.arange(12) / 12.0)
EARTH_SIDE = 1_000_000
Tables = dict[str, str]


def months(mean: float, swing: float = 1.0) -> NDArray[np.float32]:
    """Return twelve bands, each a little warmer towards the south-east."""
    warmer = np.linspace(0.0, 1.0, 100).reshape(10, 10)
    return (mean + swing * SEASON_DEGC[:, None, None] + warmer).astype("float32")


def write(folder: Path, file: str, cells: NDArray[Any], **keys: Any) -> Path:
    """Write bands of cells; what GDAL takes after the writing stands under the names rasterio gives it."""
    bands = cells if cells.ndim == 3 else cells[None]
    later = ("descriptions", "units", "scales", "offsets")
    after = {key: keys.pop(key) for key in later if key in keys}
    count, height, width = bands.shape
    profile = {"driver": "GTiff", "dtype": bands.dtype, "crs": "EPSG:4326", "transform": HERE, **keys}
    path = folder / file
    path.parent.mkdir(exist_ok=True)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(path, "w", count=count, height=height, width=width, **profile) as dataset:
            dataset.write(bands)
            for key, value in after.items():
                setattr(dataset, key, value)
    return path


def write_elevation(folder: Path, cells: NDArray[Any] = GROUND_M, **keys: Any) -> Tables:
    write(folder, "elevation.tif", cells, **keys)
    return {"elevation": 'path = "elevation.tif"'}


def write_climate(folder: Path, **given: NDArray[Any]) -> Tables:
    """Write a good year, or the monthly rasters that are given."""
    good = {"tmin": months(0.0), "tmax": months(12.0), "precipitation": months(40.0)}
    for name, cells in (good | given).items():
        write(folder, f"{name}.tif", cells)
    return {name: f'path = "{name}.tif"' for name in good}


def write_months(folder: Path, count: int = 12, **keys: Any) -> list[str]:
    """Write tmin as one file for each month and return their names."""
    names = [f"climate/tmin_{month}.tif" for month in range(1, count + 1)]
    for name, cells in zip(names, months(0.0), strict=False):
        write(folder, name, cells, **keys)
    return names


def write_virtual(folder: Path, side: int, cell_deg: float, source: str = "") -> Tables:
    place = f"<SRS>EPSG:4326</SRS><GeoTransform>{WEST}, {cell_deg}, 0, {NORTH}, 0, -{cell_deg}</GeoTransform>"
    band = f'<VRTRasterBand dataType="Float32" band="1">{source}</VRTRasterBand>'
    text = f'<VRTDataset rasterXSize="{side}" rasterYSize="{side}">{place}{band}</VRTDataset>'
    (folder / "elevation.vrt").write_text(text, encoding="utf-8")
    return {"elevation": 'path = "elevation.vrt"'}


def write_sparse(folder: Path, cell_deg: float, block: int) -> Tables:
    """Write 10^12 cells into some megabytes: none of its blocks is there."""
    keys = {"crs": "EPSG:4326", "transform": from_origin(WEST, NORTH, cell_deg, cell_deg), "dtype": "int16"}
    tiles = {"tiled": True, "blockxsize": block, "blockysize": block, "sparse_ok": True, "bigtiff": "YES"}
    path = folder / "elevation.tif"
    side = {"width": EARTH_SIDE, "height": EARTH_SIDE}
    with rasterio.open(path, "w", driver="GTiff", count=1, **side, **keys, **tiles):
        pass
    assert path.stat().st_size < 5_000_000
    return {"elevation": 'path = "elevation.tif"'}


def write_fine(folder: Path, **keys: Any) -> Path:
    """Write rough ground in packed tiles."""
    rough = np.random.default_rng(1).integers(900, 990, (400, 400)).astype("int16")
    tiles = {"tiled": True, "blockxsize": 64, "blockysize": 64, "compress": "deflate"}
    return write(folder, "elevation.tif", rough, **{"transform": FINE, **tiles, **keys})


def write_damage(path: Path, start: int, end: int) -> None:
    stored = bytearray(path.read_bytes())
    stored[start:end] = bytes(one ^ 0x5A for one in stored[start:end])
    path.write_bytes(stored)


def write_netcdf(folder: Path, *names: str) -> None:
    with netcdf_file(folder / "climate.nc", "w") as stream:
        for size, name in ((12, "month"), (10, "row"), (10, "column")):
            stream.createDimension(name, size)
        for name in names:
            stream.createVariable(name, "f4", ("month", "row", "column"))[:] = 5.0


# Whether the file can be read at all.


def file_missing(folder: Path) -> Tables:
    write_elevation(folder)
    return {"elevation": 'path = "elevations.tif"'}


def file_empty(folder: Path) -> Tables:
    tables = write_elevation(folder)
    (folder / "elevation.tif").write_bytes(b"")
    return tables


def file_is_text(folder: Path) -> Tables:
    (folder / "elevation.tif").write_text("The elevation follows by post.\n", encoding="utf-8")
    return {"elevation": 'path = "elevation.tif"'}


def file_is_a_web_page(folder: Path) -> Tables:
    (folder / "elevation.tif").write_text("<!doctype html><title>Sign in</title>", encoding="utf-8")
    return {"elevation": 'path = "elevation.tif"'}


def file_cut_short(folder: Path) -> Tables:
    cells = np.full((400, 400), 900.0, dtype="float32")
    tables = write_elevation(folder, cells, transform=FINE)
    path = folder / "elevation.tif"
    path.write_bytes(path.read_bytes()[:200_000])
    return tables


def file_cut_short_within_its_head(folder: Path) -> Tables:
    tables = write_elevation(folder, compress="deflate")
    path = folder / "elevation.tif"
    path.write_bytes(path.read_bytes()[:100])
    return tables


def tiles_damaged_where_it_is_looked_at(folder: Path) -> Tables:
    path = write_fine(folder)
    whole = path.stat().st_size
    write_damage(path, whole // 2, whole // 2 + whole // 5)
    return {"elevation": 'path = "elevation.tif"'}


def tile_damaged_under_a_site(folder: Path) -> Tables:
    """Turn the bytes of the tile of rows and columns 160 to 175, which none of the 25 windows touches.

    They begin at 0, 92, 184, 276 and 368 and are 32 cells wide; the first site covers cells 172 to 187.
    """
    path = write_fine(folder, blockxsize=16, blockysize=16)
    with rasterio.open(path) as dataset:
        start, size = (
            int(dataset.get_tag_item(f"BLOCK_{one}_10_10", "TIFF", bidx=1)) for one in ("OFFSET", "SIZE")
        )
    write_damage(path, start, start + size)
    return {"elevation": 'path = "elevation.tif"'}


def virtual_raster_of_a_lost_file(folder: Path) -> Tables:
    lost = '<SourceFilename relativeToVRT="1">tiles/part.tif</SourceFilename><SourceBand>1</SourceBand>'
    return write_virtual(folder, 10, CELL, f"<SimpleSource>{lost}</SimpleSource>")


def netcdf_of_two_variables(folder: Path) -> Tables:
    tables = write_climate(folder)
    write_netcdf(folder, "tmin", "tmax")
    return tables | {"tmin": 'path = "climate.nc"'}


def netcdf_of_one_variable(folder: Path) -> Tables:
    tables = write_climate(folder)
    write_netcdf(folder, "tmin")
    return tables | {"tmin": 'path = "climate.nc"'}


# Where its cells lie.


def reference_system_missing(folder: Path) -> Tables:
    return write_elevation(folder, crs=None)


def place_missing(folder: Path) -> Tables:
    return write_elevation(folder, crs=None, transform=Affine.identity())


def columns_from_east_to_west(folder: Path) -> Tables:
    return write_elevation(folder, transform=Affine(-CELL, 0.0, WEST + 0.1, 0.0, -CELL, NORTH))


def grid_turned(folder: Path) -> Tables:
    return write_elevation(folder, transform=Affine(CELL, 0.002, WEST, 0.002, -CELL, NORTH))


def grid_of_another_country(folder: Path) -> Tables:
    return write_elevation(folder, transform=from_origin(20.0, 50.0, CELL, CELL))


def grid_of_degrees_called_metres(folder: Path) -> Tables:
    return write_elevation(folder, crs="EPSG:32612")


def sites_partly_outside(folder: Path) -> Tables:
    """End the raster at 109.9255 W: 2.5 of the second site's 4 thousandths of a degree lie beyond."""
    return write_elevation(folder, transform=from_origin(-109.9255 - 0.1, NORTH, CELL, CELL))


def site_outside(folder: Path) -> Tables:
    return write_elevation(folder, GROUND_M[:, :7])


def no_value_under_a_site(folder: Path) -> Tables:
    cells = GROUND_M.copy()
    cells[7, 7] = -9999.0
    return write_elevation(folder, cells, nodata=-9999.0)


def no_value_anywhere(folder: Path) -> Tables:
    return write_elevation(folder, np.full((10, 10), -9999.0, dtype="float32"), nodata=-9999.0)


def longitudes_from_0_to_360(folder: Path) -> Tables:
    return write_elevation(folder, transform=from_origin(WEST + 360.0, NORTH, CELL, CELL))


def rows_from_south_to_north(folder: Path) -> Tables:
    return write_elevation(folder, GROUND_M[::-1], transform=Affine(CELL, 0.0, WEST, 0.0, CELL, NORTH - 0.1))


def huge_in_huge_blocks(folder: Path) -> Tables:
    return write_sparse(folder, 0.0000001, 16_384)


def huge_with_cells_of_a_centimetre(folder: Path) -> Tables:
    return write_sparse(folder, 0.0000001, 2_048)


def huge_and_nothing_in_it(folder: Path) -> Tables:
    return write_virtual(folder, EARTH_SIDE, 0.00004)


# What its numbers are.


def numbers_are_complex(folder: Path) -> Tables:
    return write_elevation(folder, GROUND_M.astype("complex64"))


def numbers_are_colours(folder: Path) -> Tables:
    tables = write_elevation(folder, (GROUND_M - 900.0).astype("uint8"))
    with rasterio.open(folder / "elevation.tif", "r+") as dataset:
        dataset.write_colormap(1, {number: (number, 0, 0) for number in range(256)})
    return tables


def picture_of_three_bands(folder: Path) -> Tables:
    return write_elevation(folder, np.stack([(GROUND_M - 900.0).astype("uint8")] * 3), photometric="RGB")


def numbers_infinite(folder: Path) -> Tables:
    cells = np.tile(GROUND_M, (12, 12))
    cells[20, 20], cells[30, 30] = np.inf, -np.inf
    return write_elevation(folder, cells)


def no_numbers_among_them(folder: Path) -> Tables:
    cells = GROUND_M.copy()
    cells[0, 0] = cells[7, 7] = np.nan
    return write_elevation(folder, cells)


def nodata_not_declared(folder: Path) -> Tables:
    cells = GROUND_M.copy()
    cells[0, 0] = -9999.0
    return write_elevation(folder, cells)


def scale_stated_twice(folder: Path) -> Tables:
    tables = write_elevation(folder, GROUND_M / 2.0, scales=(2.0,), offsets=(5.0,))
    return {"elevation": tables["elevation"] + "\nscale = 0.5\noffset = 5.0"}


def tenths_stated_twice(folder: Path) -> Tables:
    tables = write_climate(folder)
    write(folder, "tmax.tif", months(120.0, 10.0).astype("int16"), scales=(0.1,) * 12)
    return tables | {"tmax": tables["tmax"] + '\nunits = {temperature = "tenths of degc"}'}


# Which unit they are in.


def kelvin_as_celsius(folder: Path) -> Tables:
    return write_climate(folder, tmin=months(273.15), tmax=months(285.15))


def tenths_as_celsius(folder: Path) -> Tables:
    return write_climate(folder, tmin=months(0.0, 10.0), tmax=months(120.0, 10.0))


def fahrenheit_as_celsius(folder: Path) -> Tables:
    """Write 32 and 53.6 degF, which are 0 and 12 degC, 18 degF colder in January and warmer in July."""
    return write_climate(folder, tmin=months(32.0, 1.8), tmax=months(53.6, 1.8))


def feet_stated_by_the_file(folder: Path) -> Tables:
    return write_elevation(folder, GROUND_M / 0.3048, units=("ft",))


def feet_stated_by_the_vertical_system(folder: Path) -> Tables:
    return write_elevation(folder, GROUND_M / 0.3048, crs="EPSG:4326+6360")


def feet_beyond_any_land(folder: Path) -> Tables:
    return write_elevation(folder, 10.0 * GROUND_M)


def inches_as_millimetres(folder: Path) -> Tables:
    return write_climate(folder, precipitation=np.full((12, 10, 10), 1.2, dtype="float32"))


def inches_stated_by_the_file(folder: Path) -> Tables:
    tables = write_climate(folder)
    rain = np.full((12, 10, 10), 1.2, dtype="float32")
    write(folder, "precipitation.tif", rain, units=("inches",) * 12)
    return tables


def precipitation_below_zero(folder: Path) -> Tables:
    return write_climate(folder, precipitation=months(-40.0))


def tmin_above_tmax(folder: Path) -> Tables:
    return write_climate(folder, tmin=months(12.0), tmax=months(0.0))


# Which months there are.


def bands_eleven(folder: Path) -> Tables:
    return write_climate(folder, tmin=months(0.0)[:11])


def bands_thirteen(folder: Path) -> Tables:
    return write_climate(folder, tmin=np.concatenate([months(0.0), months(0.0)[:1]]))


def bands_of_extremes_not_named(folder: Path) -> Tables:
    write(folder, "extremes.tif", months(0.0)[:2])
    return {"extremes": 'path = "extremes.tif"'}


def bands_in_the_order_of_letters(folder: Path) -> Tables:
    tables = write_climate(folder)
    order = sorted(range(1, 13), key=str)
    cells = months(0.0)[[month - 1 for month in order]]
    write(folder, "tmin.tif", cells, descriptions=tuple(f"tmin_{month}" for month in order))
    return tables


def files_eleven(folder: Path) -> Tables:
    listed = ", ".join(f'"{name}"' for name in write_months(folder, 11))
    return write_climate(folder) | {"tmin": f"paths = [{listed}]"}


def files_thirteen(folder: Path) -> Tables:
    names = write_months(folder)
    listed = ", ".join(f'"{name}"' for name in [*names, names[0]])
    return write_climate(folder) | {"tmin": f"paths = [{listed}]"}


def files_in_the_order_of_letters(folder: Path) -> Tables:
    listed = ", ".join(f'"{name}"' for name in sorted(write_months(folder)))
    return write_climate(folder) | {"tmin": f"paths = [{listed}]"}


def files_of_two_grids(folder: Path) -> Tables:
    names = write_months(folder)
    write(folder, names[3], months(0.0)[3], transform=from_origin(WEST + 0.5, NORTH, CELL, CELL))
    return write_climate(folder) | {"tmin": 'path = "climate/tmin_{month}.tif"'}


def file_with_two_bands_among_twelve(folder: Path) -> Tables:
    names = write_months(folder)
    write(folder, names[3], months(0.0)[3:5])
    return write_climate(folder) | {"tmin": 'path = "climate/tmin_{month}.tif"'}


def pattern_finds_eleven(folder: Path) -> Tables:
    write_months(folder, 11)
    return write_climate(folder) | {"tmin": 'path = "climate/tmin_{month}.tif"'}


def pattern_finds_nothing(folder: Path) -> Tables:
    write_months(folder)
    return write_climate(folder) | {"tmin": 'path = "climate/tmean_{month}.tif"'}


def pattern_with_zeros_that_are_not_there(folder: Path) -> Tables:
    write_months(folder)
    return write_climate(folder) | {"tmin": 'path = "climate/tmin_{month:02}.tif"'}


def pattern_with_a_star(folder: Path) -> Tables:
    write_months(folder)
    return write_climate(folder) | {"tmin": 'path = "climate/tmin_*.tif"'}
