"""One row per patch: area, cover, survey age, manager, permission, place."""

import datetime as dt

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.geodesy import utm
from geo_scout.formulas.inner_places import inner_places
from geo_scout.formulas.unions import union_by_label
from geo_scout.model.rows import join_texts
from geo_scout.model.years import DAYS_PER_YEAR
from geo_scout.sites.ground import close_slits

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
    outlines = union_by_label(members.geometry.to_numpy(), members["site_id"].to_numpy())
    is_joined = by_site.size().to_numpy() > 1
    outlines[is_joined] = close_slits(outlines[is_joined])
    newest, oldest = by_site["survey_date"].max(), by_site["survey_date"].min()
    first = by_site[list(SHARED)].first()
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
            "permission": _joint_permission(members),
            "member_ids": _joined(members),
        },
        geometry=outlines,
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


def _joint_permission(members: gpd.GeoDataFrame) -> NDArray[np.object_]:
    """Return each patch's permission: refused ground is a patch of its own, so "no" never mixes."""
    answers = members.groupby("site_id", sort=True)["permission"]
    return np.where(answers.nunique() == 1, answers.first(), "unknown").astype(object)


def _joined(members: gpd.GeoDataFrame) -> NDArray[np.object_]:
    """Return the member ids of each patch, each once."""
    once = members.drop_duplicates(["site_id", "member_id"])
    return join_texts(once["member_id"], once["site_id"]).to_numpy(dtype=object)


def _with_place(table: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    inside = gpd.GeoSeries(inner_places(table.geometry.to_numpy()), crs=table.crs).to_crs(4326)
    longitude_deg, latitude_deg = inside.x.to_numpy(), inside.y.to_numpy()
    zone, easting_m, northing_m = utm(longitude_deg, latitude_deg)
    return table.assign(
        longitude_deg=longitude_deg,
        latitude_deg=latitude_deg,
        utm_zone=zone.astype(object),
        easting_m=easting_m,
        northing_m=northing_m,
    )
