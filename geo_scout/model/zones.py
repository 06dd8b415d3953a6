"""What the rasters say of sites, populations and reference cells."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import pandas as pd
from affine import Affine
from numpy.typing import NDArray
from scipy.sparse import csr_array

HeatLoadEquation = Literal[1, 2, 3]

RELIEF_PICTURE_PX = 2048
"""Longer side of the one picture of the relief; where the elevation is finer, tiles show it too [pixels]."""

DEEPEST_ZOOM = 17
"""How near the map can be brought; a pixel is then 1.2 m wide at the equator."""


@dataclass(frozen=True, slots=True)
class TerrainAsked:
    """What a season asks of the shape of the ground.

    Parameters
    ----------
    quantities
        Which of ``model.quantities.TERRAIN_QUANTITIES``; with none of them terrain is not computed.
    steep_deg
        Ground steeper than this counts as steep; None where the season sets no such limit [deg].
    heat_load_equation
        Which equation of McCune & Keon 2002.
    surroundings_m
        How far the surroundings reach that a relative position is taken against [m].
    """

    quantities: frozenset[str] = frozenset()
    steep_deg: float | None = None
    heat_load_equation: HeatLoadEquation = 3
    surroundings_m: float = 500.0


@dataclass(frozen=True)
class ZoneTable:
    """Area-weighted raster means of zones, and the climate cells they touch.

    Parameters
    ----------
    mean
        Zone (index) x quantity (``elevation_m``, ``bio01``, ``slope_deg`` ...); nan where no cell has a
        value.
    valid_share
        Zone x raster layer: share of the zone's area on cells that have a value; for terrain also
        ``slope``, ``heat_load`` and ``relative_position`` where they were asked for, whose cells need
        neighbours with a value [share].
    climate_cells
        Cell x ``bio01`` ...: the cells of the climate grid that any zone touches.
    touches
        Zone x cell: which zone touches which climate cell.
    monthly
        Zone (index) x ``tmin_01_degc`` ...: months of the rasters at the zone's elevation, empty without
        them.
    correction
        Zone (index) x ``climate_tmin_correction_degc``, ``climate_tmax_correction_degc`` (yearly means),
        ``climate_note``; no column where nothing was brought to another elevation.
    cell_monthly
        Zone (index) x ``tmin_01_degc`` to ``tmax_12_degc`` as the climate cells have them; no column where
        nothing was brought to another elevation.
    stations_basis
        Where months are those of stations: what they are, for a reader; empty where they are of rasters.
    """

    mean: pd.DataFrame
    valid_share: pd.DataFrame
    climate_cells: pd.DataFrame
    touches: csr_array
    monthly: pd.DataFrame = field(default_factory=pd.DataFrame)
    correction: pd.DataFrame = field(default_factory=pd.DataFrame)
    cell_monthly: pd.DataFrame = field(default_factory=pd.DataFrame)
    stations_basis: str = ""

    def rows_of(self, kind: str, owner: str, names: Sequence[str]) -> NDArray[np.intp]:
        """Return the row numbers of the zones of one kind and owner, in the order of the names."""
        wanted = pd.MultiIndex.from_arrays([[kind] * len(names), [owner] * len(names), list(names)])
        return np.asarray(self.mean.index.get_indexer(wanted))

    def cells_touched(self, zones: NDArray[np.intp]) -> pd.DataFrame:
        """Return the climate cells touched by any of the zones (row numbers), each once."""
        if self.climate_cells.empty:
            return self.climate_cells
        touched = np.unique(self.touches[zones].indices)
        return self.climate_cells.iloc[touched]


MERCATOR_RADIUS_M = 6_378_137.0
"""Radius of the sphere of Web Mercator (EPSG:3857): the semi-major axis of WGS 84 [m]."""


@dataclass(frozen=True)
class ReliefGrid:
    """The season's elevation warped to Web Mercator for the map.

    Parameters
    ----------
    elevation_m
        (rows, columns) north up; nan outside [m].
    transform
        Column and row to EPSG:3857 metres.
    zoom
        Zoom of the web map tiles whose pixels the cells are; None where one picture shows every cell.
    """

    elevation_m: NDArray[np.float32]
    transform: Affine
    zoom: int | None = None

    @property
    def middle_deg(self) -> float:
        """Longitude of its middle; beyond 180 where it lies across that meridian [deg]."""
        middle_m = self.transform.c + self.elevation_m.shape[1] * self.transform.a / 2.0
        return math.degrees(middle_m / MERCATOR_RADIUS_M)
