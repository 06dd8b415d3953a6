"""Cells, grids and descriptions of a raster replaced by what other programs and wrong settings write."""

import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import rasterio
from affine import Affine

from tests.fuzz.cut_down import Cells
from tests.fuzz.hostile import NUMBERS
from tests.fuzz.kits import Kit
from tests.fuzz.map_files import write_raster

_Way = Callable[[Random, Cells], tuple[Cells, str]]
_KINDS = ("uint8", "int16", "uint16", "int32", "float32", "float64", "complex64", "int8")


def change_cells(chance: Random, kit: Kit, folder: Path) -> str:
    """Change stored values, or what the file says of them, and return what was done."""
    return _change(chance, kit, folder, _CELL_WAYS)


def change_grid(chance: Random, kit: Kit, folder: Path) -> str:
    """Change where the cells lie and return what was done."""
    return _change(chance, kit, folder, _GRID_WAYS)


def _change(chance: Random, kit: Kit, folder: Path, ways: tuple[_Way, ...]) -> str:
    names = sorted({_layer_of(raster.path) for raster in kit.rasters})
    name = chance.choice(names)
    one = chance.choice([raster for raster in kit.rasters if _layer_of(raster.path) == name])
    cells, words = chance.choice(ways)(chance, one.cells)
    # A whole set of months changes alike as often as one of its files.
    alike = [one] if chance.random() < 0.5 else [r for r in kit.rasters if _layer_of(r.path) == name]
    for raster in alike:
        same_way = cells if raster is one else _refilled(cells, raster.cells)
        write_raster(folder, raster.path, same_way)
    return f"{name} ({len(alike)} files): {words}"


def _layer_of(path: str) -> str:
    return re.sub(r"_?[0-9]*\.\w+$", "", path)


def _refilled(cells: Cells, own: Cells) -> Cells:
    is_alike = cells.values.shape == own.values.shape
    values = own.values.astype(cells.values.dtype) if is_alike else cells.values
    return replace(cells, values=values)


def _fill_some(chance: Random, cells: Cells) -> tuple[Cells, str]:
    """Put a hostile number into one cell, a block or all of them."""
    value = chance.choice(NUMBERS)
    values = cells.values.astype(np.float64).copy()
    rows, columns = values.shape[1:]
    top, left = chance.randrange(rows), chance.randrange(columns)
    tall, wide = chance.choice(((1, 1), (rows // 2, columns // 2), (rows, columns)))
    values[:, top : top + tall, left : left + wide] = value
    if (tall, wide) == (rows, columns):
        values[:] = value
    kind = chance.choice(("float32", "float64"))
    with np.errstate(over="ignore"):
        stored = values.astype(kind)
    profile = {**cells.profile, "dtype": kind}
    return replace(cells, values=stored, profile=profile), f"{value:g} in {tall} x {wide} cells, {kind}"


def _other_kind(chance: Random, cells: Cells) -> tuple[Cells, str]:
    kind = chance.choice(_KINDS)
    stored = np.nan_to_num(cells.values.astype(np.float64)).astype(
        np.complex64 if "complex" in kind else np.float64
    )
    values = stored.astype(kind) if "complex" in kind else stored.astype(np.int64).astype(kind)
    return replace(
        cells, values=values, profile={**cells.profile, "dtype": kind, "nodata": None}
    ), f"stored as {kind}"


def _other_nodata(chance: Random, cells: Cells) -> tuple[Cells, str]:
    first = float(cells.values.flat[0])
    value = chance.choice((None, 0.0, first, -9999.0, math.nan, math.inf, -3.4028234663852886e38, 255.0))
    kind = "float64"
    profile = {**cells.profile, "dtype": kind, "nodata": value}
    return replace(cells, values=cells.values.astype(kind), profile=profile), f"nodata is {value}"


def _other_scale(chance: Random, cells: Cells) -> tuple[Cells, str]:
    bands = cells.values.shape[0]
    scale, offset = chance.choice(NUMBERS), chance.choice((0.0, 273.15, 1e300, math.nan))
    tags = {"scales": (scale,) * bands, "offsets": (offset,) * bands}
    return replace(cells, tags=tags), f"scale {scale:g}, offset {offset:g}"


def _other_words(chance: Random, cells: Cells) -> tuple[Cells, str]:
    bands = cells.values.shape[0]
    unit = chance.choice(("ft", "K", "degF", "\x1b[31m", "u" * 5000, "mm", "\u202eC"))
    name = chance.choice(("bio01", "bio99", "", "=1+1", "\u202e", "n" * 5000))
    tags = {**cells.tags, "units": (unit,) * bands, "descriptions": (name,) * bands}
    return replace(cells, tags=tags), f"unit {unit[:10]!r}, description {name[:10]!r}"


def _other_bands(chance: Random, cells: Cells) -> tuple[Cells, str]:
    number = chance.choice((1, 2, 11, 13))
    values = np.resize(cells.values, (number, *cells.values.shape[1:]))
    return Cells(values, {**cells.profile, "count": number}), f"{number} bands"


def _swap_seasons(_: Random, cells: Cells) -> tuple[Cells, str]:
    return replace(cells, values=-cells.values), "every value with the other sign"


def _grid(cells: Cells, grid: Affine, words: str) -> tuple[Cells, str]:
    return replace(cells, profile={**cells.profile, "transform": grid}), words


def _move_grid(chance: Random, cells: Cells) -> tuple[Cells, str]:
    by = chance.choice((0.001, 1.0, 90.0, 180.0, 360.0, -360.0, 1e4, 1e7, 1e12, 1e300))
    east, north = chance.choice(((by, 0.0), (0.0, by), (by, by)))
    grid: Affine = cells.profile["transform"]
    moved = Affine(grid.a, grid.b, grid.c + east, grid.d, grid.e, grid.f + north)
    return _grid(cells, moved, f"moved by {east:g}, {north:g}")


def _resize_cells(chance: Random, cells: Cells) -> tuple[Cells, str]:
    by = chance.choice((1e-12, 1e-6, 0.1, 10.0, 1e6, 1e12, -1.0, 0.0))
    grid: Affine = cells.profile["transform"]
    across, down = chance.choice(((by, 1.0), (1.0, by), (by, by)))
    resized = Affine(grid.a * across, grid.b, grid.c, grid.d, grid.e * down, grid.f)
    return _grid(cells, resized, f"cells {across:g} times as wide, {down:g} times as tall")


def _turn_grid(chance: Random, cells: Cells) -> tuple[Cells, str]:
    grid: Affine = cells.profile["transform"]
    degrees = chance.choice((1e-9, 0.5, 90.0, 180.0))
    return _grid(cells, grid * Affine.rotation(degrees), f"turned by {degrees:g} degrees")


def _break_grid(chance: Random, cells: Cells) -> tuple[Cells, str]:
    grid: Affine = cells.profile["transform"]
    values = list(grid)[:6]
    at = chance.randrange(6)
    values[at] = chance.choice((math.nan, math.inf, 0.0, 5e-324))
    return _grid(cells, Affine(*values), f"number {at} of the grid is {values[at]}")


def _other_system(chance: Random, cells: Cells) -> tuple[Cells, str]:
    systems = (
        None,
        "EPSG:4326",
        "EPSG:32612",
        "EPSG:3857",
        "EPSG:3031",
        "EPSG:27700",
        "EPSG:4267",
        "EPSG:4978",
    )
    system = chance.choice(systems)
    with rasterio.Env():
        crs = None if system is None else rasterio.CRS.from_string(system)
    return replace(cells, profile={**cells.profile, "crs": crs}), f"said to be in {system}"


def _cut(chance: Random, cells: Cells) -> tuple[Cells, str]:
    """Keep few rows or columns."""
    rows, columns = chance.choice(((1, 1), (1, 5), (5, 1), (2, 2)))
    values = cells.values[:, :rows, :columns].copy()
    profile = {**cells.profile, "height": values.shape[1], "width": values.shape[2]}
    return replace(cells, values=values, profile=profile), f"{rows} x {columns} cells left"


_CELL_WAYS: tuple[_Way, ...] = (
    _fill_some, _fill_some, _fill_some, _other_kind, _other_nodata, _other_scale, _other_words, _other_bands,
    _swap_seasons,
)  # fmt: skip
_GRID_WAYS: tuple[_Way, ...] = (
    _move_grid, _move_grid, _resize_cells, _turn_grid, _break_grid, _other_system, _cut,
)  # fmt: skip
