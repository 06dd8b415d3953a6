"""One row per patch: area, cover, survey age, manager, permission, place."""

import datetime as dt

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.geodesy import utm

DAYS_PER_YEAR = 365.25
SHARED = ("manager", "parcel", "district", "jurisdiction")


def describe_patches(members: gpd.GeoDataFrame, host: str, as_of: dt.date) -> gpd.GeoDataFrame:
    """Return one row per patch, sorted by site_id.

    Parameters
    ----------
    members
        Pieces of infestation with ``site_id``, ``gross_ha`` and the columns of infestations,
        sorted by site_id.
    host
        Name of the host weed.
    as_of
        The clock, for survey ages.
    """
    areas = _areas(members)
    by_site = members.groupby("site_id", sort=True)
    newest, oldest = by_site["survey_date"].max(), by_site["survey_date"].min()
    first = by_site[list(SHARED)].first()
    shapes = gpd.GeoSeries(
        [shapely.union_all(part.geometry.to_numpy()) for _, part in by_site],
        index=areas.index,
        crs=members.crs,
    )
    table = gpd.GeoDataFrame(
        {
            "site_id": areas.index.to_numpy(),
            "host": host,
            "name": _largest_named(members).reindex(areas.index, fill_value="").to_numpy(),
            **{name: areas[name].to_numpy() for name in areas.columns},
            "survey_date": newest.to_numpy(),
            "survey_date_oldest": oldest.to_numpy(),
            "survey_age_years": _years_before(newest, as_of),
            **{name: first[name].to_numpy() for name in SHARED},
            "permission": by_site["permission"].agg(_joint_permission).to_numpy(),
            "member_ids": by_site["member_id"].agg(lambda ids: "; ".join(dict.fromkeys(ids))).to_numpy(),
        },
        geometry=shapes.to_numpy(),
        crs=members.crs,
    )
    return _with_place(table)


def _areas(members: gpd.GeoDataFrame) -> pd.DataFrame:
    """Return gross and infested areas [ha] and cover [pct] per site; nan where cover is unknown."""
    gross = members["gross_ha"]
    weighted = pd.DataFrame(
        {
            "site_id": members["site_id"],
            "gross_ha": gross,
            "infested_ha": gross * members["cover_share"],
            "infested_low_ha": gross * members["cover_low_share"].fillna(0.0),
            "infested_high_ha": gross * members["cover_high_share"].fillna(1.0),
        }
    )
    total = weighted.groupby("site_id", sort=True).sum(min_count=1)
    is_partial = members["cover_share"].isna().groupby(members["site_id"]).any()
    total.loc[is_partial.reindex(total.index), "infested_ha"] = np.nan
    for kind in ("", "_low", "_high"):
        total[f"cover{kind}_pct"] = 100 * total[f"infested{kind}_ha"] / total["gross_ha"]
    return total


def _years_before(dates: pd.Series, as_of: dt.date) -> NDArray[np.float64]:
    days = (pd.Timestamp(as_of) - dates).dt.days
    return np.asarray(days / DAYS_PER_YEAR, dtype=np.float64)


def _largest_named(members: gpd.GeoDataFrame) -> pd.Series:
    named = members[members["name"] != ""].sort_values("gross_ha", ascending=False, kind="stable")
    return named.groupby("site_id")["name"].first()


def _joint_permission(answers: pd.Series) -> str:
    """Return the patch's permission: refused ground is a patch of its own, so "no" never mixes."""
    distinct = set(answers)
    return distinct.pop() if len(distinct) == 1 else "unknown"


def _with_place(table: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    inside = gpd.GeoSeries(shapely.point_on_surface(table.geometry.to_numpy()), crs=table.crs).to_crs(4326)
    longitude_deg, latitude_deg = inside.x.to_numpy(), inside.y.to_numpy()
    zone, easting_m, northing_m = utm(longitude_deg, latitude_deg)
    return table.assign(
        longitude_deg=longitude_deg,
        latitude_deg=latitude_deg,
        utm_zone=zone.astype(object),
        easting_m=easting_m,
        northing_m=northing_m,
    )
