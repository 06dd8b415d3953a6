"""A raster described, with a few looks at its cells."""

import warnings
from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.errors import NotGeoreferencedWarning
from rasterio.windows import Window

from geo_scout.layers.inspect.vector_looks import crs_words
from geo_scout.layers.places.reference_systems import crs_of_file
from geo_scout.model.draft import FoundRaster

_LOOKS, _LOOK_CELLS = 5, 32
# Stored numbers this far out stand for missing, whether the file says so or not.
_FILL_BELOW, _FILL_ABOVE = -9990.0, 1e30


def read_raster_file(path: Path) -> FoundRaster:
    """Return what one raster says of itself, and the range of its cells.

    Raises
    ------
    rasterio.errors.RasterioError, OSError
        It cannot be read as a raster.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(path) as dataset:
            cells = _quantities(dataset, _few_cells(dataset)) if dataset.count else np.array([])
            known = cells[np.isfinite(cells)]
            stored = dataset.crs
            crs = None
            if stored is not None:
                code = stored.to_epsg()
                crs = crs_of_file(f"EPSG:{code}" if code else stored.to_wkt())
            return FoundRaster(
                path=path,
                bands=dataset.count,
                descriptions=tuple(text or "" for text in dataset.descriptions),
                units=tuple((text or "").strip() for text in dataset.units),
                crs=crs_words(crs),
                is_crs_in_feet=crs is not None and any("foot" in axis.unit_name for axis in crs.axis_info),
                least=float(known.min()) if known.size else float("nan"),
                mean=float(known.mean()) if known.size else float("nan"),
                most=float(known.max()) if known.size else float("nan"),
                is_scaled=set(dataset.scales) != {1.0} or set(dataset.offsets) != {0.0},
                grid=(dataset.width, dataset.height, *(round(one, 9) for one in dataset.transform[:6])),
            )


def _few_cells(dataset: rasterio.DatasetReader) -> NDArray[np.float64]:
    """Return stored values of small windows all over the raster, (bands, n): cheap whatever its size."""
    width, height = min(_LOOK_CELLS, dataset.width), min(_LOOK_CELLS, dataset.height)
    columns = np.unique(np.linspace(0, dataset.width - width, _LOOKS).astype(int))
    rows = np.unique(np.linspace(0, dataset.height - height, _LOOKS).astype(int))
    looks = [
        dataset.read(window=Window(int(column), int(row), width, height), masked=True)
        .astype(np.float64)
        .filled(np.nan)
        .reshape(dataset.count, -1)
        for row in rows
        for column in columns
    ]
    return np.concatenate(looks, axis=1)


def _quantities(dataset: rasterio.DatasetReader, stored: NDArray[np.float64]) -> NDArray[np.float64]:
    stored = np.where((stored < _FILL_BELOW) | (np.abs(stored) > _FILL_ABOVE), np.nan, stored)
    scale, offset = np.array(dataset.scales)[:, None], np.array(dataset.offsets)[:, None]
    return np.asarray(stored * scale + offset, dtype=np.float64)
