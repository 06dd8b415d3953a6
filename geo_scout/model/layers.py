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
from geo_scout.model.weather import DailyWeather, StationNormals, YearlyClimate

TURN_DEG = 360.0


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
    files
        Its files, all on one grid.
    bands
        Quantity of each band in order: ``elevation_m``; ``tmin_01_degc`` to ``tmin_12_degc``;
        ``bio01`` ...
    crs, transform, width, height
        The grid, north up; transform maps column and row to easting and northing.
    nodata
        Per band: stored value that means missing, if any.
    scale, offset
        Per band: quantity = stored x scale + offset.
    places
        Per band: which of the files (from 0) and which band in it (from 1); empty where one file holds the
        bands in order.
    is_south_up
        Whether the files keep their rows from south to north.
    has_mask
        Whether a mask of the files marks missing cells.
    """

    name: str
    files: tuple[Path, ...]
    bands: tuple[str, ...]
    crs: CRS
    transform: Affine
    width: int
    height: int
    nodata: tuple[float | None, ...]
    scale: tuple[float, ...]
    offset: tuple[float, ...]
    places: tuple[tuple[int, int], ...] = ()
    is_south_up: bool = False
    has_mask: bool = False

    @property
    def goes_round(self) -> bool:
        """Whether the last column meets the first one, all around the Earth."""
        return goes_round(self.crs, self.transform, self.width)

    @property
    def file_transform(self) -> Affine:
        """The grid as the files keep it, south up where their rows are."""
        if not self.is_south_up:
            return self.transform
        return self.transform * Affine.translation(0.0, self.height) * Affine.scale(1.0, -1.0)

    def bands_by_file(self) -> dict[int, tuple[list[int], list[int]]]:
        """Return per file the positions of its bands in ``bands`` and their numbers in the file (from 1)."""
        places = self.places or tuple((0, number) for number in range(1, len(self.bands) + 1))
        grouped: dict[int, tuple[list[int], list[int]]] = {}
        for position, (file, number) in enumerate(places):
            positions, numbers = grouped.setdefault(file, ([], []))
            positions.append(position)
            numbers.append(number)
        return grouped

    def values(self, stored: NDArray[np.generic], band: int) -> NDArray[np.float64]:
        """Return the quantity for stored values of one band (from 0); nan where missing or infinite."""
        value = np.asarray(stored, dtype=np.float64)
        nodata = self.nodata[band]
        missing = np.isnan(value) if nodata is None else (value == nodata) | np.isnan(value)
        with np.errstate(over="ignore", invalid="ignore"):
            quantity = value * self.scale[band] + self.offset[band]
        return np.where(missing | ~np.isfinite(quantity), np.nan, quantity)


def goes_round(crs: CRS, transform: Affine, width: int) -> bool:
    """Return whether a grid's columns go all around the Earth, to a tenth of a cell."""
    return bool(crs.is_geographic and abs(width * transform.a - TURN_DEG) < 0.1 * transform.a)


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
        polygons only, ``cover`` as written (text, or numbers where the file has numbers), and permission
        as "yes", "no" or "unknown". Visits carry ``found`` as bool, and ``release_link``: whether their
        release was named ("id") or joined by place and date ("place"); "" without one.
        ``previous`` holds ``site_id``, ``host`` and geometry of an earlier run's patches.
    rasters
        Per raster layer its description.
    weather, station_normals, yearly_climate
        Tables of weather and climate; None where the season has none.
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
    weather: DailyWeather | None = None
    station_normals: StationNormals | None = None
    yearly_climate: YearlyClimate | None = None

    def has(self, name: str) -> bool:
        """Return whether the season gave this layer."""
        return name in self.vectors or name in self.rasters
