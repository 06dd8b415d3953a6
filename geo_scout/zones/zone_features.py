"""Shapes handed to exactextract as the bytes it reads, not as GeoJSON text."""

from collections.abc import Iterator

import numpy as np
import shapely
from exactextract.feature import Feature, FeatureSource
from numpy.typing import NDArray
from pyproj import CRS


class ZoneFeatures(FeatureSource):  # type: ignore[misc]  # exactextract ships no types
    """Polygons without any column; the method names are exactextract's.

    A table of geopandas would do the same: each shape would be written as GeoJSON and read again, nine
    times as slow for outlines of a few cells.

    Parameters
    ----------
    shapes
        (n,) polygons in the reference system of the raster.
    crs
        That system.
    """

    def __init__(self, shapes: NDArray[np.object_], crs: CRS) -> None:
        super().__init__()
        self._encoded = shapely.to_wkb(shapes)
        self._crs = crs

    def __iter__(self) -> Iterator[Feature]:
        """Yield each shape."""
        return map(_Zone, self._encoded)

    def count(self) -> int:
        """Return the number of shapes."""
        return len(self._encoded)

    def srs_wkt(self) -> str:
        """Return the reference system."""
        return self._crs.to_wkt()


class _Zone(Feature):  # type: ignore[misc]
    def __init__(self, encoded: bytes) -> None:
        super().__init__()
        self._encoded = encoded

    def geometry(self) -> bytes:
        return self._encoded

    def fields(self) -> list[str]:
        return []
