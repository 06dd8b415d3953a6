"""Zones of many days asked of the rasters in one pass, and told apart again."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.model.zones import ZoneTable
from geo_scout.zones.zone_list import REFERENCE


@dataclass(frozen=True)
class ZonesTogether:
    """The zones of many days, each shape once.

    Parameters
    ----------
    zones
        One row per different shape, indexed by (kind, owner, name) of the first that has it.
    rows
        Per day: the row of each of its zones.
    names
        Per day: the (kind, owner, name) of each of its zones.
    """

    zones: gpd.GeoDataFrame
    rows: tuple[NDArray[np.intp], ...]
    names: tuple[pd.Index, ...]

    def of_day(self, table: ZoneTable, day: int) -> ZoneTable:
        """Return what the rasters say of the zones of one day, as if they had been asked of them alone."""
        rows, names = self.rows[day], self.names[day]
        return replace(
            table,
            mean=_rows_of(table.mean, rows, names),
            valid_share=_rows_of(table.valid_share, rows, names),
            touches=table.touches[rows],
            monthly=_rows_of(table.monthly, rows, names),
            correction=_rows_of(table.correction, rows, names),
            cell_monthly=_rows_of(table.cell_monthly, rows, names),
        )


def put_together(days: Sequence[gpd.GeoDataFrame]) -> ZonesTogether:
    """Return the zones of many days as one list in which each shape stands once.

    Parameters
    ----------
    days
        For each day its zones (`place_zones`), in one CRS; at least one day.

    Notes
    -----
    What rasters say of a zone does not depend on the other zones, so the days may share a pass; patches
    that stay as they are from day to day are most of them. Reference land is kept apart, as rasters are
    asked about it in another way.
    """
    every = gpd.GeoDataFrame(pd.concat(days), crs=days[0].crs)
    if "stated_elevation_m" not in every:
        every["stated_elevation_m"] = np.nan
    key = pd.DataFrame(
        {
            "is_reference": every.index.get_level_values(0) == REFERENCE,
            "shape": shapely.to_wkb(every.geometry.to_numpy()),
            "elevation": every["stated_elevation_m"].to_numpy(dtype=np.float64),
        }
    )
    number = key.groupby(list(key.columns), sort=False, dropna=False).ngroup().to_numpy()
    _, first = np.unique(number, return_index=True)
    ends = np.cumsum([len(one) for one in days])
    rows = [part.astype(np.intp) for part in np.split(number, ends[:-1])]
    return ZonesTogether(every.iloc[first], tuple(rows), tuple(one.index for one in days))


def _rows_of(frame: pd.DataFrame, rows: NDArray[np.intp], names: pd.Index) -> pd.DataFrame:
    return frame.iloc[rows].set_axis(names) if len(frame) else frame
