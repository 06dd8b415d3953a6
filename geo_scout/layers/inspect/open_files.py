"""Every candidate file opened, or the reason why it could not be."""

import warnings
from collections.abc import Iterable
from dataclasses import dataclass, field

from pyogrio.errors import DataLayerError, DataSourceError, FieldError, GeometryError
from rasterio.errors import CRSError, RasterioError

from geo_scout.layers.inspect.candidates import Candidate
from geo_scout.layers.inspect.raster_looks import read_raster_file
from geo_scout.layers.inspect.text_tables import read_table
from geo_scout.layers.inspect.vector_looks import read_vector_file
from geo_scout.layers.noticed import LayerRefused, first_words
from geo_scout.layers.opening.file_sizes import refuse_too_large
from geo_scout.layers.opening.gdal_settings import untouched_inputs
from geo_scout.model.draft import FoundRaster, FoundVector, Unused
from geo_scout.model.layer_table import LayerTable

_NOT_READABLE = (
    DataSourceError, DataLayerError, FieldError, GeometryError, RasterioError, CRSError, OSError, ValueError,
)  # fmt: skip


@dataclass
class Opened:
    """What the files turned out to be."""

    vectors: list[FoundVector] = field(default_factory=list)
    rasters: list[FoundRaster] = field(default_factory=list)
    unused: list[Unused] = field(default_factory=list)


def open_files(candidates: Iterable[Candidate]) -> Opened:
    """Return the tables and rasters of the files; one that cannot be read is told, never raised."""
    opened = Opened()
    with untouched_inputs(), warnings.catch_warnings():
        # What the readers warn of is told when the season is checked.
        warnings.simplefilter("ignore")
        for candidate in candidates:
            _open_one(candidate, opened)
    return opened


def _open_one(candidate: Candidate, opened: Opened) -> None:
    path = candidate.path
    found: list[FoundVector] = []
    try:
        refuse_too_large(path, LayerTable(path=path.name))
        if candidate.what == "raster":
            opened.rasters.append(read_raster_file(path))
            return
        found = list(read_table(path) if candidate.what == "table" else read_vector_file(path))
    except LayerRefused as refused:
        opened.unused.append(Unused(path, "", refused.what))
    except _NOT_READABLE as error:
        said = error.strerror or str(error) if isinstance(error, OSError) else str(error)
        opened.unused.append(Unused(path, "", _why(first_words(said, path, path.name))))
    else:
        if not found:
            opened.unused.append(Unused(path, "", "it holds no row."))
    opened.vectors.extend(found)


def _why(said: str) -> str:
    """Return why a file cannot be read; the libraries' long advice is for programmers."""
    if "not recognized" in said:
        return "it is no map, table or raster that can be read, or it is damaged."
    return f"it cannot be read: {said.split('; ')[0].rstrip('.')}."
