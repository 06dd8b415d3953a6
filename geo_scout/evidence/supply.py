"""What each patch could yield this season: the newest catch, aged, and totals from counts on known areas."""

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.supply import NONE_SEEN, aged_supply, count_interval
from geo_scout.model.agent import AgentProfile
from geo_scout.model.folded import folded
from geo_scout.model.rows import each_row, plain_values
from geo_scout.model.season import Season
from geo_scout.model.setting import Sourced
from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.model.years import DAYS_PER_YEAR

FRESH_YEARS = 1.0
"""Age up to which a catch needs no halving time: it is of this season or the last [years]. Our choice."""
M2_PER_HA = 10_000.0


def measure_supply(
    patches: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, season: Season, agent: AgentProfile
) -> pd.DataFrame:
    """Return what each patch could yield; columns ``SUPPLY_COLUMNS``, rows as in the patches.

    Parameters
    ----------
    patches
        Patches of the host.
    visits
        Visits of the agent with ``site_id``, ``date``, ``method``, ``effort_hours``, ``count``, ``found``,
        ``counted_area_m2`` (nan none) and ``says_nothing``, since what lives there was last destroyed.
    season
        The clock: a catch is aged to the first day of field work, or to ``as_of`` where that is later.
    agent
        What makes a catch, how it ages, what may be taken, how many make a release.

    Notes
    -----
    The newest catch of a patch counts, be it empty; catches of one day are pooled. One that could not have
    found the agent is none. After an empty one the best is 0, and the high what may still be there by the
    95 % limit of a count of 0. Whatever is missing makes the supply unknown (nan), and ``supply_note`` asks
    for it. A total of the patch is as old as its count.
    """
    site_ids = patches["site_id"].to_numpy(dtype=object)
    catch = _newest_catch(visits, agent).reindex(site_ids)
    start = pd.Timestamp(max(season.settings.season.start or season.as_of, season.as_of))
    age_years = ((start - catch["date"]).dt.days / DAYS_PER_YEAR).to_numpy(dtype=np.float64)
    rate = (catch["count"] / catch["effort_hours"]).to_numpy(dtype=np.float64)
    table = pd.DataFrame({"site_id": site_ids, "catch_date": catch["date"].to_numpy()})
    table = table.assign(catch_per_hour=rate, catch_age_years=age_years)
    table = table.assign(**_supply(agent, rate, age_years, catch["effort_hours"].to_numpy(dtype=np.float64)))
    table = table.assign(**_patch_totals(patches, visits))
    table["supply_note"] = _notes(table, agent, _not_found_since(visits, catch["date"]).to_numpy())
    return table[list(SUPPLY_COLUMNS)]


def _newest_catch(visits: gpd.GeoDataFrame, agent: AgentProfile) -> pd.DataFrame:
    """Return by patch the day of its newest catch with the sums of that day."""
    methods = {folded(method) for method in agent.collecting.methods}
    by_method = visits["method"].map(folded).isin(methods) if methods else True
    found = visits["found"].astype(bool)
    is_empty = ~found & (visits["says_nothing"] == "")
    caught = visits.assign(count=visits["count"].where(found, 0.0))
    # Where nobody ever found it, an empty catch says nothing of a place with the agent.
    is_empty &= visits["site_id"].isin(set(visits.loc[found, "site_id"]))
    has_numbers = ((found & (visits["count"] > 0)) | is_empty) & (visits["effort_hours"] > 0)
    return _newest_day(caught[(visits["site_id"] != "") & has_numbers & by_method], "effort_hours")


def _newest_day(visits: pd.DataFrame, per: str) -> pd.DataFrame:
    """Return by patch the newest day with the sums of its counts and of what they are taken on."""
    newest = visits[visits["date"] == visits.groupby("site_id")["date"].transform("max")]
    sums = newest.groupby("site_id").agg({"date": "first", "count": "sum", per: "sum"})
    return sums.astype({"count": float, per: float})


def _supply(
    agent: AgentProfile,
    rate: NDArray[np.float64],
    age_years: NDArray[np.float64],
    effort_hours: NDArray[np.float64],
) -> dict[str, NDArray[np.float64]]:
    collecting = agent.collecting
    halving_years, widening = _number(collecting.halving_years), _number(collecting.widening_per_yr)
    per_release = _number(agent.release.number_per_release)
    # A catch of this season or the last stands for itself where nobody says how fast it ages.
    ages = np.where(np.isnan(halving_years) & (age_years < FRESH_YEARS), np.inf, halving_years)
    hours, most = _number(collecting.hours_on_site), _number(collecting.max_take)
    low, best, high = np.full((3, len(rate)), np.nan)
    is_stated = not any(np.isnan([hours, most, widening]))
    for halving in np.unique(ages[~np.isnan(ages)]) if is_stated else ():
        at = ages == halving
        low[at], best[at], high[at] = aged_supply(rate[at], hours, age_years[at], halving, widening, most)
        empty = at & (rate == 0)
        limit = NONE_SEEN / effort_hours[empty]
        high[empty] = aged_supply(limit, hours, age_years[empty], halving, widening, most)[2]
    return {
        "supply_low": low,
        "supply": best,
        "supply_high": high,
        "releases_low": low / per_release,
        "releases": best / per_release,
        "releases_high": high / per_release,
        "hours_per_release": per_release / np.where(rate > 0, rate * np.exp2(-age_years / ages), np.nan),
    }


def _number(value: Sourced[int] | Sourced[float] | None) -> float:
    return float("nan") if value is None else float(value.value)


def _patch_totals(patches: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> dict[str, NDArray[np.float64]]:
    """Return low, best and high number of agents on each patch, from its newest count on a known area."""
    is_known = (visits["site_id"] != "") & (visits["counted_area_m2"] > 0) & (visits["count"] >= 0)
    counted = _newest_day(visits[is_known], "counted_area_m2").reindex(patches["site_id"])
    count = counted["count"].to_numpy(dtype=np.float64)
    least, most = count_interval(count)
    counts = {"patch_total_low": least, "patch_total": count, "patch_total_high": most}
    names = ("infested_low_ha", "infested_ha", "infested_high_ha")
    per_m2 = {name: number / counted["counted_area_m2"].to_numpy() for name, number in counts.items()}
    infested_m2 = (patches[name].to_numpy(dtype=np.float64) * M2_PER_HA for name in names)
    return {name: density * area for (name, density), area in zip(per_m2.items(), infested_m2, strict=True)}


def _not_found_since(visits: gpd.GeoDataFrame, catch_date: pd.Series) -> pd.Series:
    """Return by patch the day of the latest visit after its catch that found nothing; NaT none."""
    inside = visits[(visits["site_id"] != "") & ~visits["found"].astype(bool)]
    latest = inside.groupby("site_id")["date"].max().reindex(catch_date.index)
    return latest.where(latest > catch_date)


def _notes(
    table: pd.DataFrame, agent: AgentProfile, not_found: "np.ndarray[tuple[int], np.dtype[np.datetime64]]"
) -> list[str]:
    """Return what each supply rests on, or exactly what is missing."""
    always = _missing_settings(agent)
    notes = []
    for row, since in zip(each_row(table), plain_values(pd.Series(not_found)), strict=True):
        if pd.isna(row.catch_date):
            notes.append("unknown: no catch with its count and hours on record.")
            continue
        caught = (
            f"{_rate(row.catch_per_hour)} per person-hour on {row.catch_date:%Y-%m-%d}, "
            f"{row.catch_age_years:.1f} years before the season"
        )
        if not pd.isna(since):
            caught += f"; not found on {since:%Y-%m-%d}"
        missing = always
        if agent.collecting.halving_years is None and row.catch_age_years >= FRESH_YEARS:
            missing = [*always, "halving_years (how fast a catch is out of date)"]
        told = f"{caught}."
        if missing:
            told += f" Unknown until [collecting] says: {'; '.join(missing)}."
        if agent.release.number_per_release is None:
            told += " Releases are unknown until [release] number_per_release says how many make one."
        notes.append(told)
    return notes


def _rate(per_hour: float) -> str:
    if per_hour == 0:
        return "none"
    return f"{per_hour:,.0f}" if per_hour >= 10 else f"{per_hour:.1f}"


def _missing_settings(agent: AgentProfile) -> list[str]:
    collecting = agent.collecting
    asked = (
        (collecting.hours_on_site, "hours_on_site (person-hours of collecting)"),
        (collecting.max_take, "max_take (the most you allow to be taken)"),
        (collecting.widening_per_yr, "widening_per_yr (how unsure a catch becomes)"),
    )
    return [words for value, words in asked if value is None]
