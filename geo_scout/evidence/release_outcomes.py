"""Which releases established, which failed, and of which nothing can be said."""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.arrivals import measure_hazards
from geo_scout.evidence.places import place_of_visits
from geo_scout.evidence.presence import Grounds
from geo_scout.evidence.rates import districts_of
from geo_scout.evidence.records import placed_records
from geo_scout.evidence.signs import BEST
from geo_scout.model.agent import AgentProfile
from geo_scout.model.layers import LayerSet
from geo_scout.model.outcomes import MISSED_AT_MOST_SHARE
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.model.years import DAYS_PER_YEAR

NO_DAY = np.datetime64("NaT", "D")


@dataclass(frozen=True)
class _Releases:
    """Releases of one agent, in the order of the layer, each column (n,)."""

    place: NDArray[np.object_]
    era: NDArray[np.int64]
    day: NDArray[np.datetime64]
    is_first: NDArray[np.bool_]
    next_day: NDArray[np.datetime64]


def judge_releases(sites: Sites, layers: LayerSet, season: Season, agent: AgentProfile) -> pd.DataFrame:
    """Return what became of each release of one agent, by all that is known on the season's day.

    Parameters
    ----------
    sites, layers, season, agent
        As in `gather_evidence`.

    Returns
    -------
    pandas.DataFrame
        In the order of the releases: ``release_id``, ``date``, ``district`` ("" unmapped), ``label`` and
        ``reason`` (of ``model.outcomes``), ``visited`` (whether anybody has been there since, or names it),
        ``told_on`` (day of the find, or of the last visit that counts; NaT where nothing tells),
        ``missed_share`` (chance that as much searching as the visits that count misses an agent that lives
        there, whatever they found; 1 without any) [share] and ``arrived_share`` (chance that the agent had
        come from elsewhere by the first visit that counts; 0 where nothing tells) [share].

    Notes
    -----
    Visits count that were made in the place of the release, since then, ``years_to_confirm`` or more after
    it, before what lived there was destroyed, and up to the day before another release there. A find among
    them is an establishment. Without one the release has failed where 1 - D = prod(1 - d) of them is at
    most 0.1, d by the profile's signs, 0 where it is not known. Only the first release of a place, since
    what lived there was last destroyed, is asked: later ones share its fate, and a find does not say whose
    agents it saw. Where others are more than ``unlikely_to_share`` to have come by the first visit that
    counts, it says nothing of the release, be it found or not: to drop finds alone, or to ask by a day that
    hangs on what was found, would turn the odds.
    """
    releases, visits, grounds = placed_records(sites, layers, season, agent)
    table = pd.DataFrame(
        {
            "release_id": releases["release_id"].to_numpy(dtype=object),
            "date": _days(releases["date"]),
            "district": districts_of(releases, sites.patches, layers.vectors.get("boundaries")),
        }
    )
    put = _put_out(releases)
    seen = _seen_since(put, visits, grounds)
    table = table.assign(visited=_visited(releases, visits, seen))
    waiting = agent.establishment.years_to_confirm
    if waiting is None or not len(releases):
        return table.assign(
            label="unused", reason="no-waiting-time", told_on=NO_DAY, missed_share=1.0, arrived_share=0.0
        )
    wait = np.timedelta64(int(np.floor(float(waiting.value) * DAYS_PER_YEAR)), "D")
    counts = (seen["age"] >= wait) & ~seen["is_young"] & seen["is_before_next"]
    telling = _by_release(seen[counts], len(releases))
    found = telling["found"].to_numpy(dtype=bool)
    searched = ~found & (telling["missed_share"].to_numpy() <= MISSED_AT_MOST_SHARE)
    told_on = _days(telling["found_on"].where(found, telling["last"].where(searched)))
    first = _days(telling["first"].where(found | searched))
    arrived = _arrived(grounds, put.place, first)
    reason = np.select(
        [
            ~put.is_first,
            _found_before(put, visits),
            put.day + wait > np.datetime64(season.as_of, "D"),
            arrived > season.settings.records.unlikely_to_share,
            found,
            searched,
        ],
        ["another-first", "there-before", "too-early", "may-have-come", "found", "searched"],
        default=_untold(releases, put, visits, grounds, seen, counts, wait),
    ).astype(object)
    label = np.select([reason == "found", reason == "searched"], ["established", "failed"], "unused")
    return table.assign(
        label=label.astype(object),
        reason=reason,
        told_on=told_on,
        missed_share=telling["missed_share"].to_numpy(),
        arrived_share=arrived,
    )


def _put_out(releases: gpd.GeoDataFrame) -> _Releases:
    """Return the releases, with which of them is the first of its place and era, and when the next came."""
    day = _days(releases["date"])
    frame = pd.DataFrame(
        {
            "place": releases["place_id"].to_numpy(dtype=object),
            "era": releases["era"].to_numpy(dtype=np.int64),
            "day": day,
            "id": releases["release_id"].to_numpy(dtype=object),
        }
    )
    ordered = frame.sort_values(["day", "id"], kind="stable")
    groups = ordered.groupby(["place", "era"], sort=False)
    # What was put out on one day is one release.
    when = ["place", "era", "day"]
    days = ordered[when].drop_duplicates()
    days = days.assign(following=days.groupby(["place", "era"], sort=False)["day"].shift(-1))
    after = days.set_index(when)["following"]
    return _Releases(
        place=frame["place"].to_numpy(dtype=object),
        era=frame["era"].to_numpy(),
        day=day,
        is_first=(groups.cumcount() == 0).reindex(frame.index).to_numpy(dtype=bool),
        next_day=_days(after.reindex(pd.MultiIndex.from_frame(frame[when]))),
    )


def _seen_since(put: _Releases, visits: gpd.GeoDataFrame, grounds: Grounds) -> pd.DataFrame:
    """Return one row per release and visit made in its place and era since."""
    there = pd.DataFrame(
        {
            "place": place_of_visits(visits),
            "era": visits["era"].to_numpy(dtype=np.int64),
            "on": _days(visits["date"]),
            "found": visits["found"].to_numpy(dtype=bool),
            "missed": 1.0 - np.nan_to_num(grounds.sightings.found_share[:, BEST]),
            "is_young": grounds.sightings.is_too_young,
        }
    )
    ours = pd.DataFrame(
        {
            "release": np.arange(len(put.place)),
            "place": put.place,
            "era": put.era,
            "day": put.day,
            "next": put.next_day,
        }
    )
    there["place"], ours["place"] = there["place"].astype(object), ours["place"].astype(object)
    seen = ours.merge(there, on=["place", "era"])
    seen = seen[seen["on"] >= seen["day"]]
    return seen.assign(
        age=seen["on"] - seen["day"], is_before_next=seen["next"].isna() | (seen["on"] < seen["next"])
    )


def _by_release(seen: pd.DataFrame, count: int) -> pd.DataFrame:
    """Return what the visits that count come to: whether found and when, the last, how often they miss."""
    by = seen.groupby("release")
    finds = seen[seen["found"]].groupby("release")["on"].min()
    rows = range(count)
    return pd.DataFrame(
        {
            "found": by["found"].any().reindex(rows, fill_value=False),
            "found_on": finds.reindex(rows),
            "first": by["on"].min().reindex(rows),
            "last": by["on"].max().reindex(rows),
            "missed_share": by["missed"].prod().reindex(rows, fill_value=1.0).astype(np.float64),
        }
    )


def _found_before(put: _Releases, visits: gpd.GeoDataFrame) -> NDArray[np.bool_]:
    """Return whether the agent was found in the place, in its era, before the release or on its day."""
    finds = visits[visits["found"].to_numpy(dtype=bool)]
    first = pd.Series(_days(finds["date"])).groupby([place_of_visits(finds), finds["era"].to_numpy()]).min()
    here = pd.MultiIndex.from_arrays([put.place, put.era])
    earliest = first.reindex(here).to_numpy() if len(first) else np.full(len(put.day), NO_DAY)
    return np.asarray(earliest.astype("datetime64[D]") <= put.day, dtype=bool)


def _arrived(
    grounds: Grounds, place: NDArray[np.object_], told_on: NDArray[np.datetime64]
) -> NDArray[np.float64]:
    """Return the chance that the agent came to each place from others by the end of the year that tells."""
    share = np.zeros(len(place))
    told = np.flatnonzero(~np.isnat(told_on))
    if not len(told):
        return share
    number = pd.Index(grounds.places.place_id).get_indexer(pd.Index(place[told])).astype(np.intp)
    targets, row = np.unique(number, return_inverse=True)
    hazard = measure_hazards(grounds.places, targets, grounds.origins, grounds.spread, grounds.ends)
    none_came = np.cumprod(1.0 - hazard[:, :, BEST], axis=0)
    year = told_on[told].astype("datetime64[Y]").astype(np.int64) + 1970 - grounds.years[0]
    share[told] = 1.0 - none_came[year, row]
    return share


def _untold(
    releases: gpd.GeoDataFrame,
    put: _Releases,
    visits: gpd.GeoDataFrame,
    grounds: Grounds,
    seen: pd.DataFrame,
    counts: pd.Series,
    wait: np.timedelta64,
) -> NDArray[np.object_]:
    """Return why nothing tells of each release, as if nothing did."""
    count = len(releases)

    def has(rows: pd.Series) -> NDArray[np.bool_]:
        return np.isin(np.arange(count), seen.loc[rows, "release"].to_numpy())

    is_named = releases["release_id"].isin(visits["release_id"]).to_numpy(dtype=bool)
    is_after_next = (seen["age"] >= wait) & ~seen["is_before_next"]
    return np.select(
        [
            (releases["site_id"] == "").to_numpy(dtype=bool) & ~has(seen["age"] >= np.timedelta64(0, "D")),
            has(is_after_next & seen["found"]),
            has(counts),
            has(is_after_next),
            _lost_since(put, grounds),
            has(seen["age"] >= np.timedelta64(0, "D")),
            is_named,
        ],
        [
            "outside",
            "another-since",
            "may-have-missed",
            "another-since",
            "destroyed",
            "before-its-time",
            "elsewhere",
        ],
        default="not-visited",
    ).astype(object)


def _visited(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame, seen: pd.DataFrame) -> NDArray[np.bool_]:
    """Return which releases a visit names, or was made in the place of since, before it was destroyed."""
    is_named = releases["release_id"].isin(visits["release_id"]).to_numpy(dtype=bool)
    return np.asarray(is_named | np.isin(np.arange(len(releases)), seen["release"].to_numpy()), dtype=bool)


def _lost_since(put: _Releases, grounds: Grounds) -> NDArray[np.bool_]:
    """Return whether the place of each release was destroyed since."""
    losses = grounds.losses
    last = pd.Series(losses.day).groupby(grounds.places.place_id[losses.place]).max()
    latest = last.reindex(put.place).to_numpy() if len(last) else np.full(len(put.day), NO_DAY)
    return np.asarray(latest.astype("datetime64[D]") > put.day, dtype=bool)


def _days(dates: "pd.Series | pd.Index") -> NDArray[np.datetime64]:
    return np.asarray(dates.to_numpy().astype("datetime64[D]"))
