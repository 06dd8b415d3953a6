"""One file of a raster layer as GDAL describes it, with a few looks at its cells."""

import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import rasterio
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS
from rasterio.enums import ColorInterp, MaskFlags
from rasterio.errors import CRSError, NotGeoreferencedWarning, RasterioError, RasterioIOError
from rasterio.windows import Window

from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.layers.rasters.band_files import RasterFile
from geo_scout.layers.rasters.unreadable import (
    refuse_container,
    refuse_damaged,
    refuse_large_blocks,
    refuse_unopened,
    refuse_without_parts,
)

_LOOKS, _LOOK_CELLS = 5, 32
_QUARTER_CELL = 0.25
# In the unit of the grid, whichever it is: the Earth is 4e7 m around, and 1e-9 degrees are a tenth of a mm.
_FURTHEST, _LEAST_CELL = 1e9, 1e-9


@dataclass(frozen=True)
class RasterPart:
    """One file of a raster layer.

    Parameters
    ----------
    file
        The file.
    made_of
        Every file GDAL reads for it.
    crs
        Its reference system; None where it states none.
    transform
        As the file keeps it, south up where its rows are.
    width, height
        Columns and rows.
    names, units
        Per band: its description and unit, empty where there is none.
    scale, offset, nodata
        Per band, as stored.
    has_mask
        Whether a mask marks missing cells.
    looks
        (bands, cells) stored values from small windows all over the raster; masked cells are nan.
    """

    file: RasterFile
    made_of: tuple[Path, ...]
    crs: CRS | None
    transform: Affine
    width: int
    height: int
    names: tuple[str, ...]
    units: tuple[str, ...]
    scale: tuple[float, ...]
    offset: tuple[float, ...]
    nodata: tuple[float | None, ...]
    has_mask: bool
    looks: NDArray[np.generic]

    @property
    def count(self) -> int:
        """Number of bands."""
        return len(self.names)

    @property
    def is_south_up(self) -> bool:
        """Whether the rows run from south to north."""
        return bool(self.transform.e > 0.0)

    @property
    def north_up(self) -> Affine:
        """The transform with its rows counted from the north."""
        if not self.is_south_up:
            return self.transform
        return self.transform * Affine.translation(0.0, self.height) * Affine.scale(1.0, -1.0)


def open_part(file: RasterFile) -> RasterPart:
    """Return one file described.

    Raises
    ------
    LayerRefused
        It cannot be read, or its grid cannot be used.
    """
    try:
        with warnings.catch_warnings():
            # A raster without a place is refused below, in words.
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with rasterio.open(file.path) as dataset:
                refuse_container(dataset, file)
                refuse_without_parts(dataset, file)
                _check_grid(dataset, file.written)
                refuse_large_blocks(dataset, file)
                return _described(dataset, file)
    except (RasterioError, RasterioIOError, CRSError) as error:
        refuse_unopened(error, file)


def check_one_grid(parts: tuple[RasterPart, ...]) -> None:
    """Refuse files of one layer that lie on different grids.

    Raises
    ------
    LayerRefused
        With the first two that differ.
    """
    first = parts[0]
    for part in parts[1:]:
        if not _is_same_grid(first, part):
            what = f"its files lie on different grids: {_grid_in_words(first)}, but {_grid_in_words(part)}."
            fix = "Warp them to one grid in your GIS; other layers may keep grids of their own."
            raise LayerRefused(what, code="grids-differ", fix=fix)


def check_place(part: RasterPart, crs: CRS) -> None:
    """Refuse a grid in degrees that goes beyond a pole, or more than once round the Earth.

    Raises
    ------
    LayerRefused
        With where it says it lies.
    """
    if not crs.is_geographic:
        return
    grid = part.north_up
    west, north = grid @ (0, 0)
    east, south = grid @ (part.width, part.height)
    # Grids whose cells are named by their middles reach half a cell beyond a pole.
    is_between_poles = max(north, -south) <= 90.0 - grid.e
    if is_between_poles and max(-west, east) <= 540.0 + grid.a and east - west <= 360.0 + 2.0 * grid.a:
        return
    what = (
        f"'{part.file.written}' is in degrees ({crs.name}) and would lie from {west:g} to {east:g} east and "
        f"from {south:g} to {north:g} north, which is not on the Earth."
    )
    fix = "Check its reference system, and whether longitude and latitude are swapped."
    raise LayerRefused(what, code="raster-nowhere", fix=fix)


def _described(dataset: rasterio.DatasetReader, file: RasterFile) -> RasterPart:
    flags = {flag for band in dataset.mask_flag_enums for flag in band}
    has_mask = MaskFlags.per_dataset in flags
    return RasterPart(
        file=file,
        made_of=tuple(Path(name) for name in dataset.files),
        crs=_crs(dataset),
        transform=dataset.transform,
        width=dataset.width,
        height=dataset.height,
        names=tuple(text or "" for text in dataset.descriptions),
        units=tuple(text or "" for text in dataset.units),
        scale=tuple(float(one) for one in dataset.scales),
        offset=tuple(float(one) for one in dataset.offsets),
        nodata=tuple(None if one is None else float(one) for one in dataset.nodatavals),
        has_mask=has_mask,
        looks=_read_looks(dataset, file, has_mask),
    )


def _crs(dataset: rasterio.DatasetReader) -> CRS | None:
    if dataset.crs is None:
        return None
    code = dataset.crs.to_epsg()
    return crs_of_file(f"EPSG:{code}" if code else dataset.crs.to_wkt())


def _check_grid(dataset: rasterio.DatasetReader, written: str) -> None:
    grid = dataset.transform
    if grid.is_identity:
        what = f"'{written}' does not say where its cells lie."
        fix = "Give it a position in your GIS and save it as GeoTIFF."
        raise LayerRefused(what, code="raster-nowhere", fix=fix)
    if not _is_somewhere(dataset):
        west, north = grid.c, grid.f
        what = (
            f"the grid of '{written}' cannot be: its corner is {west:g}, {north:g} and its cells are "
            f"{grid.a:g} wide and {abs(grid.e):g} high."
        )
        fix = "Give it its position in your GIS and save it as GeoTIFF."
        raise LayerRefused(what, code="raster-nowhere", fix=fix)
    if grid.a < 0.0 and not grid.b and not grid.d:
        what = f"the columns of '{written}' run from east to west; they must run from west to east."
        fix = "Warp it to a north-up grid in your GIS and save it as GeoTIFF."
        raise LayerRefused(what, code="raster-turned", fix=fix)
    if grid.b or grid.d or not grid.a or not grid.e:
        what = f"the grid of '{written}' is turned: its columns do not run from west to east."
        fix = "Warp it to a north-up grid in your GIS and save it as GeoTIFF."
        raise LayerRefused(what, code="raster-turned", fix=fix)
    if any(MaskFlags.alpha in band for band in dataset.mask_flag_enums):
        what = f"'{written}' has a band of transparency, so it is a picture, not numbers of the ground."
        fix = "Give the raster itself, without the alpha band."
        raise LayerRefused(what, code="raster-picture", fix=fix)
    if ColorInterp.palette in dataset.colorinterp:
        what = f"'{written}' has a table of colours, so its numbers stand for colours or classes."
        fix = (
            "Give the raster of the quantity itself; where its numbers are the quantity, take the colours "
            "out in your GIS."
        )
        raise LayerRefused(what, code="raster-picture", fix=fix)
    if any("complex" in kind for kind in dataset.dtypes):
        what = f"'{written}' holds complex numbers."
        raise LayerRefused(what, code="raster-complex", fix="Give a raster of plain numbers.")


def _is_somewhere(dataset: rasterio.DatasetReader) -> bool:
    """Return whether a grid's numbers are finite, and neither its place nor its cells are beyond all use."""
    grid = dataset.transform
    far = (*(grid @ (0, 0)), *(grid @ (dataset.width, dataset.height)))
    is_near = all(abs(one) <= _FURTHEST for one in far)
    return is_near and not any(0.0 < abs(one) < _LEAST_CELL for one in (grid.a, grid.e))


def _read_looks(dataset: rasterio.DatasetReader, file: RasterFile, has_mask: bool) -> NDArray[np.generic]:
    """Read small windows all over the raster: cheap whatever its size."""
    width, height = min(_LOOK_CELLS, dataset.width), min(_LOOK_CELLS, dataset.height)
    columns = np.unique(np.linspace(0, dataset.width - width, _LOOKS).astype(int))
    rows = np.unique(np.linspace(0, dataset.height - height, _LOOKS).astype(int))
    looks = []
    for row in rows:
        for column in columns:
            window = Window(int(column), int(row), width, height)
            try:
                stored = dataset.read(window=window)
                is_missing = dataset.read_masks(window=window) == 0 if has_mask else None
            except RasterioIOError as error:
                refuse_damaged(error, file, int(column), int(row))
            if is_missing is not None:
                stored = np.where(is_missing, np.nan, stored.astype(np.float64))
            looks.append(stored.reshape(dataset.count, -1))
    return np.concatenate(looks, axis=1)


def _is_same_grid(one: RasterPart, other: RasterPart) -> bool:
    if (one.width, one.height, one.is_south_up) != (other.width, other.height, other.is_south_up):
        return False
    if one.crs is None or other.crs is None:
        is_same_crs = one.crs is other.crs
    else:
        is_same_crs = one.crs.equals(other.crs, ignore_axis_order=True)
    # The far corners tell of a different size of cells, too.
    corners = [(0, 0), (one.width, one.height)]
    near = [
        abs(here - there) <= _QUARTER_CELL * abs(one.transform.a)
        for corner in corners
        for here, there in zip(one.transform @ corner, other.transform @ corner, strict=True)
    ]
    return is_same_crs and all(near)


def _grid_in_words(part: RasterPart) -> str:
    north = part.north_up
    crs = "no reference system" if part.crs is None else part.crs.name
    return (
        f"'{part.file.written}' has {part.width:,} x {part.height:,} cells of {north.a:g} from "
        f"{north.c:g}, {north.f:g} in {crs}"
    )
