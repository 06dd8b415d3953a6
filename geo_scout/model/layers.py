"""The layers as read: vectors in one working CRS, rasters described, and what was noticed."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import geopandas as gpd
import numpy as np
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.model.finding import Finding


@dataclass(frozen=True)
class InputFile:
    """One file that was read.

    Parameters
    ----------
    name
        Path as written, ``/`` between folders.
    sha256
        Hexadecimal digest of its bytes.
    size_bytes
        Its size.
    """

    name: str
    sha256: str
    size_bytes: int


@dataclass(frozen=True)
class RasterLayer:
    """One raster described; its cells are read by the zones room only.

    Parameters
    ----------
    name
        Name of the layer in the season file.
    path
        File.
    bands
        Quantity of each band in order: ``elevation_m``; ``tmin_01_degc`` to ``tmin_12_degc``;
        ``bio01`` ...
    crs, transform, width, height
        Grid of the file; transform maps column and row to easting and northing.
    nodata
        Stored value that means missing, if any.
    scale, offset
        Per band: quantity = stored x scale + offset.
    """

    name: str
    path: Path
    bands: tuple[str, ...]
    crs: CRS
    transform: Affine
    width: int
    height: int
    nodata: float | None
    scale: tuple[float, ...]
    offset: tuple[float, ...]

    def values(self, stored: NDArray[np.generic], band: int) -> NDArray[np.float64]:
        """Return the quantity for stored values of one band (from 0); nan where missing."""
        value = np.asarray(stored, dtype=np.float64)
        missing = np.isnan(value) if self.nodata is None else (value == self.nodata) | np.isnan(value)
        return np.where(missing, np.nan, value * self.scale[band] + self.offset[band])


@dataclass(frozen=True)
class LayerSet:
    """Every layer of a season, read once.

    Parameters
    ----------
    crs
        The working CRS: equal-area, metres, centred on whole degrees.
    vectors
        Per layer a GeoDataFrame in the working CRS with every column of
        ``model.columns.VECTOR_LAYERS[name]`` present (dates as datetime64, numbers as float, text as
        str with "" for missing), plus ``row`` (row number in the file, from 1). Infestations carry
        ``cover_share``, ``cover_low_share``, ``cover_high_share`` (nan unknown), ``cover_scheme``,
        polygons only, and permission as "yes", "no" or "unknown". Visits carry ``found`` as bool.
        ``previous`` holds ``site_id``, ``host`` and geometry of an earlier run's patches.
    rasters
        Per raster layer its description.
    findings
        What was noticed while reading.
    inputs
        Files that were read, with their digests.
    """

    crs: CRS
    vectors: Mapping[str, gpd.GeoDataFrame]
    rasters: Mapping[str, RasterLayer]
    findings: tuple[Finding, ...] = ()
    inputs: tuple[InputFile, ...] = field(default=())

    def has(self, name: str) -> bool:
        """Return whether the season gave this layer."""
        return name in self.vectors or name in self.rasters
