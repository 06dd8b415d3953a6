"""What the rasters say of each site, as columns for its table."""

import pandas as pd

from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.zone_list import PATCH

CORRECTION = ("climate_tmin_correction_degc", "climate_tmax_correction_degc", "climate_note")
GROUND = ("elevation_m", "slope_deg", "aspect_deg", "aspect_strength", "heat_load", "relative_position_m")


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
    # Sources show the ground too, although few criteria of theirs ask for it.
    ground = zones.mean[[name for name in GROUND if name in zones.mean]].iloc[rows].reset_index(drop=True)
    return pd.concat([printed.reset_index(drop=True), ground], axis=1)
