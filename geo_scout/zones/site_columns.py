"""What the rasters say of each site, as columns for its table."""

import pandas as pd

from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.zone_list import PATCH

CORRECTION = ("climate_tmin_correction_degc", "climate_tmax_correction_degc", "climate_note")


def site_columns(zones: ZoneTable, sites: Sites) -> pd.DataFrame:
    """Return one row per patch: how its climate was brought to its elevation, and the shape of its ground.

    Parameters
    ----------
    zones
        What the rasters say.
    sites
        The patches of one host.
    """
    rows = zones.rows_of(PATCH, sites.host, sites.site_ids)
    correction = zones.correction.reindex(columns=list(CORRECTION))
    printed = correction.iloc[rows].reset_index(drop=True) if len(correction) else correction
    note = printed["climate_note"]
    printed["climate_note"] = note.astype(object).where(note.notna(), "")
    return printed
