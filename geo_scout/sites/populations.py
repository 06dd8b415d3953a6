"""Confirmed populations: finds that prove the agent lives there."""

from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.model.setting import Sourced
from geo_scout.sites.patch_table import DAYS_PER_YEAR

COLUMNS = (
    "population_id",
    "name",
    "site_id",
    "first_found",
    "last_found",
    "found_by",
    "release_ids",
    "latest_result",
)


def confirm_finds(
    visits: gpd.GeoDataFrame, releases: gpd.GeoDataFrame, years_to_confirm: Sourced[Any] | None
) -> gpd.GeoDataFrame:
    """Return visits with ``confirms``: a find that came long enough after the first release there.

    Parameters
    ----------
    visits, releases
        Records of one agent with ``site_id``.
    years_to_confirm
        Years a single-generation agent needs before a find means establishment; None: any find.

    Notes
    -----
    The release that counts is the earlier of the one the visit names and the first in its patch.
    """
    by_id = releases.drop_duplicates("release_id").set_index("release_id")["date"]
    named = visits["release_id"].map(by_id)
    in_patch = releases[releases["site_id"] != ""].groupby("site_id")["date"].min()
    in_patch = visits["site_id"].map(in_patch)
    in_patch = in_patch.where(in_patch <= visits["date"])
    start = pd.concat([pd.to_datetime(named), pd.to_datetime(in_patch)], axis=1).min(axis=1)
    years = (visits["date"] - start).dt.days / DAYS_PER_YEAR
    needed = 0.0 if years_to_confirm is None else float(years_to_confirm.value)
    is_late_enough = (years >= needed) | years.isna()
    return visits.assign(
        years_since_release=years.to_numpy(dtype=np.float64),
        confirms=(visits["found"] & is_late_enough).to_numpy(),
    )


def gather_populations(
    visits: gpd.GeoDataFrame, releases: gpd.GeoDataFrame, patches: gpd.GeoDataFrame
) -> gpd.GeoDataFrame:
    """Return one row per confirmed population: a patch, or ground outside every patch.

    Finds outside patches that name the same release are one population; a find that names none
    stands alone.
    """
    finds = visits[visits["confirms"]]
    where = finds["site_id"].where(finds["site_id"] != "", "at " + finds["release_id"])
    where = where.where(where != "at ", "at " + finds["visit_id"])
    rows = [
        _population(str(place), finds.loc[group.index], visits, releases, patches)
        for place, group in finds.groupby(where)
    ]
    frame = pd.DataFrame(rows, columns=[*COLUMNS, "geometry"])
    return gpd.GeoDataFrame(frame, geometry="geometry", crs=patches.crs)


def _population(
    place: str,
    finds: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    releases: gpd.GeoDataFrame,
    patches: gpd.GeoDataFrame,
) -> dict[str, object]:
    site_id = str(finds["site_id"].iloc[0])
    finds = finds.sort_values(["date", "visit_id"], kind="stable")
    same_place = (
        visits["site_id"] == site_id if site_id else visits["release_id"] == finds["release_id"].iloc[0]
    )
    later = visits[same_place & ~visits["found"] & (visits["date"] > finds["date"].iloc[-1])]
    linked = set(finds["release_id"]) - {""}
    inside = set(releases.loc[releases["site_id"] == site_id, "release_id"]) if site_id else set()
    patch = patches[patches["site_id"] == site_id] if site_id else None
    return {
        "population_id": place,
        "name": (str(patch["name"].iloc[0]) or site_id) if patch is not None else f"find {place}",
        "site_id": site_id,
        "first_found": finds["date"].iloc[0],
        "last_found": finds["date"].iloc[-1],
        "found_by": "; ".join(dict.fromkeys(finds["visit_id"])),
        "release_ids": "; ".join(sorted(linked | inside)),
        "latest_result": f"not found on {later['date'].max():%Y-%m-%d}" if len(later) else "found",
        "geometry": patch.geometry.iloc[0] if patch is not None else finds.union_all(),
    }
