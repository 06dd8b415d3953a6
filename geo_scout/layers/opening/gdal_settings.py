"""GDAL told to leave the inputs as they are, in both of the libraries that bundle one."""

from collections.abc import Iterator
from contextlib import contextmanager

import pyogrio
import rasterio

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
