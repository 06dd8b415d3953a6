"""Why a raster file cannot be read, in words: no raster, cut short, made of lost files, a container."""

from pathlib import Path
from typing import NoReturn

import rasterio

from geo_scout.layers.noticed import LayerRefused, first_words
from geo_scout.layers.opening.first_bytes import fix_of_kind, read_kind_of_file
from geo_scout.layers.rasters.band_files import RasterFile
from geo_scout.model.listed import counted, listed

_UNKNOWN, _TIFF = "not recognized as being in a supported file format", "TIFF"
_AGAIN = "Copy or download it again, or export it anew; the disk may have been full."
_SHOWN_AT_MOST = 5
# To look at one cell its whole block is unpacked. Our choice: what a small computer still holds.
_LARGEST_BLOCK_BYTES = 512_000_000


def refuse_unopened(error: Exception, file: RasterFile) -> NoReturn:
    """Refuse a file that cannot even be opened.

    Raises
    ------
    LayerRefused
        Always.
    """
    said = first_words(error.__cause__ or error, file.path, file.written).rstrip(".")
    kind = read_kind_of_file(file.path)
    if not file.path.stat().st_size:
        what, fix = f"'{file.written}' is empty: it has 0 bytes.", _AGAIN
    elif kind and _TIFF not in kind:
        what, fix = f"'{file.written}' is {kind}, by its first bytes, and no raster.", fix_of_kind(kind)
    elif kind:
        what, fix = f"'{file.written}' begins like a TIFF, but is cut short or damaged: {said}.", _AGAIN
    elif _UNKNOWN in said:
        what = f"'{file.written}' is no raster in a format that can be read, whatever its name says."
        fix = "Give the raster itself; a GIS saves it as GeoTIFF."
    else:
        what = f"'{file.written}' cannot be read as a raster: {said}."
        fix = "Open it in your GIS and save it anew, for instance as GeoTIFF."
    raise LayerRefused(what, code="file-unreadable", fix=fix) from error


def refuse_damaged(error: Exception, file: RasterFile, column: int, row: int) -> NoReturn:
    """Refuse a file some of whose cells cannot be read.

    Raises
    ------
    LayerRefused
        Always.
    """
    said = first_words(error.__cause__ or error, file.path, file.written)
    what = (
        f"'{file.written}' cannot be read at column {column:,}, row {row:,}: it is cut short or damaged. "
        f'The file reader said: "{said}"'
    )
    raise LayerRefused(what, code="raster-unreadable", fix=_AGAIN) from error


def refuse_without_parts(dataset: rasterio.DatasetReader, file: RasterFile) -> None:
    """Refuse a virtual raster that points to files which are not there.

    Raises
    ------
    LayerRefused
        With those files.
    """
    gone = [name for name in dataset.files if not name.startswith("/vsi") and not Path(name).exists()]
    if not gone:
        return
    folder = f"{file.path.parent.as_posix()}/"
    names = listed([f"'{Path(name).as_posix().removeprefix(folder)}'" for name in gone], _SHOWN_AT_MOST)
    verb, those = ("is", "the file") if len(gone) == 1 else ("are", "the files")
    what = f"'{file.written}' points to {counted(len(gone), 'file')} that {verb} not there: {names}."
    fix = f"Put {those} there, or make the virtual raster anew."
    raise LayerRefused(what, code="raster-parts-missing", fix=fix)


def refuse_container(dataset: rasterio.DatasetReader, file: RasterFile) -> None:
    """Refuse a file without a band of its own, such as NetCDF and HDF with several variables.

    Raises
    ------
    LayerRefused
        With the names of what it holds.
    """
    if dataset.count:
        return
    parts = [name.rpartition(":")[2] for name in dataset.subdatasets]
    if not parts:
        what = f"'{file.written}' holds no band."
        raise LayerRefused(what, code="raster-empty", fix="Give a raster with a band, such as a GeoTIFF.")
    what = f"'{file.written}' holds {len(parts)} rasters and no band of its own: {listed(parts)}."
    kind = dataset.driver.upper() if dataset.driver.casefold() == "netcdf" else dataset.driver
    command = f'gdal_translate {kind}:"{file.written}":{parts[0]} {parts[0]}.tif'
    fix = f"Save the one this layer needs as GeoTIFF, in your GIS or by: {command}"
    raise LayerRefused(what, code="raster-empty", fix=fix)


def refuse_large_blocks(dataset: rasterio.DatasetReader, file: RasterFile) -> None:
    """Refuse a file whose cells lie in blocks that are too large to look into.

    Raises
    ------
    LayerRefused
        With the size of a block, and how to cut it into tiles.
    """
    rows, columns = dataset.block_shapes[0]
    cell_bytes = max(_bytes_of(kind) for kind in dataset.dtypes)
    size = rows * columns * cell_bytes
    if size <= _LARGEST_BLOCK_BYTES:
        return
    what = (
        f"'{file.written}' keeps its {dataset.width:,} x {dataset.height:,} cells in blocks of {columns:,} x "
        f"{rows:,}: {size / 1e9:,.1f} GB for every look at one of them."
    )
    options = "-co TILED=YES -co COMPRESS=DEFLATE -co BIGTIFF=YES"
    fix = f'Save it in tiles, in your GIS or by: gdal_translate {options} "{file.written}" tiles.tif'
    raise LayerRefused(what, code="raster-blocks", fix=fix)


def _bytes_of(kind: str) -> int:
    """Return the bytes of one cell by the name of its type, which ends with its bits."""
    bits = "".join(letter for letter in kind if letter.isdigit())
    return int(bits) // 8 if bits else 8
