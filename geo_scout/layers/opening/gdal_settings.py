"""GDAL told to leave the inputs as they are, in both of the libraries that bundle one."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

import numpy as np
import pyogrio
import rasterio
from numpy.typing import NDArray

# PAM would write .aux.xml files beside a raster; a lost .shx would be written anew beside a shapefile.
_SETTINGS = {"GDAL_PAM_ENABLED": "NO", "SHAPE_RESTORE_SHX": "NO"}


# The reader's own guesses at the header and at the type of each column, which look at few rows.
_PLAIN_CELLS = {
    f"OGR_{kind}_{option}": value
    for kind in ("XLSX", "ODS")
    for option, value in (("HEADERS", "DISABLE"), ("FIELD_TYPES", "STRING"))
}


@contextmanager
def plain_cells() -> Iterator[None]:
    """Read spreadsheets as they are: every row a row, every cell text."""
    before = {name: pyogrio.get_gdal_config_option(name) for name in _PLAIN_CELLS}
    pyogrio.set_gdal_config_options(_PLAIN_CELLS)
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options(before)


@contextmanager
def untouched_inputs() -> Iterator[None]:
    """Read files without writing anything beside them; earlier settings come back afterwards."""
    before = {name: pyogrio.get_gdal_config_option(name) for name in _SETTINGS}
    pyogrio.set_gdal_config_options(_SETTINGS)
    try:
        with rasterio.Env(**_SETTINGS):
            yield
    finally:
        pyogrio.set_gdal_config_options(before)


def reading_options(place: Path | str) -> dict[str, str]:
    """Return the options to open a vector file with; GDAL would write a .gfs file beside a GML file.

    Examples
    --------
    >>> reading_options("roads.gml"), reading_options("roads.gpkg")
    ({'WRITE_GFS': 'NO'}, {})
    """
    return {"WRITE_GFS": "NO"} if _is_gml(place) else {}


def read_layer_names(place: Path | str) -> NDArray[np.object_]:
    """Return name and kind of shape of every layer in a vector file, (n, 2)."""
    if not _is_gml(place):
        return np.asarray(pyogrio.list_layers(place), dtype=object)
    # Layers are listed without options; beside a part of a file, here all of it, nothing can be written.
    whole = place if str(place).startswith("/vsi") else Path(place).resolve().as_posix()
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="GFS file saving asked")
        return np.asarray(pyogrio.list_layers(f"/vsisubfile/0,{whole}"), dtype=object)


def _is_gml(place: Path | str) -> bool:
    return PurePosixPath(str(place)).suffix.casefold() == ".gml"
