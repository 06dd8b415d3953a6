"""GDAL told to leave the inputs as they are, in both of the libraries that bundle one."""

from collections.abc import Iterator
from contextlib import contextmanager

import pyogrio
import rasterio

# PAM would write .aux.xml files beside a raster; a lost .shx would be written anew beside a shapefile.
_SETTINGS = {"GDAL_PAM_ENABLED": "NO", "SHAPE_RESTORE_SHX": "NO"}


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
