"""Confirmed populations: finds that prove the agent lives there."""

from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.places import place_of_visits
from geo_scout.formulas.unions import union_by_label
from geo_scout.model.rows import join_texts
from geo_scout.model.setting import Sourced
from geo_scout.model.years import DAYS_PER_YEAR

COLUMNS = (
    "population_id",
    "name",
    "site_id",
    "first_found",
    "last_found",
    "found_by",
    "release_ids",
    "latest_result",
    "is_lost",
)


def confirm_finds(
    visits: gpd.GeoDataFrame,
    releases: gpd.GeoDataFrame,
    years_to_confirm: Sourced[Any] | None,
    is_void: NDArray[np.bool_],
) -> gpd.GeoDataFrame:
    """Return visits with ``confirms``: a find that came long enough after the first release there.

    Parameters
    ----------
    visits, releases
        Records of one agent with ``site_id`` and ``era`` (`eras.count_losses`).
    years_to_confirm
        Years a single-generation agent needs before a find means establishment; None: any find.
    is_void
        (n,) whether a find would change nothing (`signs.Sightings`): it confirms nothing either.

    Notes
    -----
    The release that counts is the earlier of the one the visit names and the first in its patch, both since
    what lived there was last destroyed. An anniversary counts as full years. A find dated before the release
    it names is a mistake in one of the two and confirms nothing, and neither does one so soon after the
    latest release there that it may be of the agents released.
    """
    day = visits["date"].to_numpy()
    by_id = releases.drop_duplicates("release_id").set_index("release_id")
    era = visits["era"].to_numpy()
    is_older = by_id["era"].reindex(visits["release_id"]).to_numpy() < era
    named = by_id["date"].reindex(visits["release_id"]).to_numpy()
    named = np.where(is_older, np.datetime64("NaT"), named)
    here = pd.MultiIndex.from_arrays([visits["site_id"], era])
    in_patch = _first_dates(releases).reindex(here).to_numpy()
    in_patch = np.where(in_patch <= day, in_patch, np.datetime64("NaT"))
    days = (day - np.fmin(named, in_patch)) / np.timedelta64(1, "D")
    needed_years = 0.0 if years_to_confirm is None else float(years_to_confirm.value)
    is_late_enough = (days >= np.floor(needed_years * DAYS_PER_YEAR)) | np.isnan(days)
    return visits.assign(
        years_since_release=days / DAYS_PER_YEAR,
        confirms=visits["found"].to_numpy(dtype=bool) & is_late_enough & ~is_void,
    )


def gather_populations(
    visits: gpd.GeoDataFrame, releases: gpd.GeoDataFrame, patches: gpd.GeoDataFrame
) -> gpd.GeoDataFrame:
    """Return one row per confirmed population: a patch, or ground outside every patch.

    Finds outside patches that name the same release are one population; a find that names none
    stands alone. Finds from before a loss (not ``is_current``) count only where there is none since: then
    the population ``is_lost``.
    """
    visits = visits.assign(place=place_of_visits(visits))
    visits = visits.sort_values(["date", "visit_id"], kind="stable")
    finds = visits[visits["confirms"]]
    has_current = finds.groupby("place")["is_current"].transform("any").astype(bool)
    finds = finds[finds["is_current"].astype(bool) | ~has_current]
    by_place = finds.groupby("place", sort=True)
    table = by_place["site_id"].first().to_frame().reset_index(names="population_id")
    place = table["population_id"]
    patch = pd.Index(patches["site_id"]).get_indexer(table["site_id"])  # -1 outside every patch
    names = np.append(patches["name"].to_numpy(dtype=object), "")[patch]
    names = np.where(names != "", names, table["site_id"])
    last_found = by_place["date"].last()
    is_later = visits["date"].to_numpy() > last_found.reindex(visits["place"]).to_numpy()
    later = visits[~visits["found"].to_numpy(dtype=bool) & is_later]
    not_found = later.groupby("place")["date"].max().reindex(place)
    in_patch = np.concatenate([patches.geometry.to_numpy(), np.array([None])])[patch]
    points = union_by_label(finds.geometry.to_numpy(), finds["place"].to_numpy(dtype=object))
    return gpd.GeoDataFrame(
        table.assign(
            name=np.where(patch >= 0, names, "find " + place),
            first_found=by_place["date"].first().to_numpy(),
            last_found=last_found.to_numpy(),
            found_by=_each_once(finds, "visit_id").reindex(place).to_numpy(),
            release_ids=_release_ids(finds, releases).reindex(place, fill_value="").to_numpy(),
            latest_result=[_result(day) for day in not_found],
            is_lost=~by_place["is_current"].any().reindex(place).to_numpy(dtype=bool),
        )[list(COLUMNS)],
        geometry=np.where(patch >= 0, in_patch, points),
        crs=patches.crs,
    )


def _first_dates(releases: gpd.GeoDataFrame) -> pd.Series:
    """Return the date of the first release in each patch and era."""
    inside = releases[releases["site_id"].to_numpy() != ""]
    first: pd.Series = inside.groupby(["site_id", "era"])["date"].min()
    return first


def _release_ids(finds: gpd.GeoDataFrame, releases: gpd.GeoDataFrame) -> pd.Series:
    """Return the releases the finds of each place name and those in the patch, sorted.

    Beside finds since a loss none that was put there before it.
    """
    era = releases.drop_duplicates("release_id").set_index("release_id")["era"]
    is_older = era.reindex(finds["release_id"]).to_numpy() < finds["era"].to_numpy()
    first_era = finds.groupby("place")["era"].min()
    inside = releases.assign(place=releases["site_id"])
    inside = inside[inside["era"].to_numpy() >= first_era.reindex(inside["place"]).to_numpy()]
    both = pd.concat(
        [frame[["place", "release_id"]] for frame in (finds[~is_older], inside) if len(frame)] or [finds[:0]]
    )
    return _each_once(both[both["release_id"] != ""].sort_values("release_id", kind="stable"), "release_id")


def _each_once(frame: pd.DataFrame, column: str) -> pd.Series:
    once = frame.drop_duplicates(["place", column])
    return join_texts(once[column], once["place"])


def _result(not_found: pd.Timestamp) -> str:
    return "found" if pd.isna(not_found) else f"not found on {not_found:%Y-%m-%d}"
