"""The state of each place in words: confirmed, likely, possible, unlikely, lost, too early to say."""

from collections.abc import Mapping
from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.arrivals import can_spread
from geo_scout.evidence.happenings import Kind
from geo_scout.evidence.places import place_of_visits
from geo_scout.evidence.presence import Grounds
from geo_scout.evidence.signs import BEST
from geo_scout.model.agent import AgentProfile
from geo_scout.model.presence import STATE_LABELS, State, percent_range
from geo_scout.model.records_table import RecordsTable
from geo_scout.model.rows import join_texts, plain_values
from geo_scout.model.years import DAYS_PER_YEAR

STATE_COLUMNS = (
    "state",
    "state_year",
    "state_words",
    "presence_low_share",
    "presence_share",
    "presence_high_share",
)
WORTH_SAYING = 0.01
"""Chance of arrivals from which they are told beside a place's own records [share]. Our choice."""
NO_DAY = np.datetime64("NaT", "D")


@dataclass(frozen=True)
class _Records:
    """What the records of each place come to.

    Days are (n,), NaT none; texts by place number. ``effective`` counts visits that changed the chance. Where
    something was put or found after a loss, all of them but the loss are of the time since.
    """

    release: NDArray[np.datetime64]
    find: NDArray[np.datetime64]
    confirmed: NDArray[np.datetime64]
    loss: NDArray[np.datetime64]
    effective: NDArray[np.datetime64]
    in_vain: NDArray[np.int64]
    silent: NDArray[np.int64]
    loss_words: Mapping[int, str]
    release_words: Mapping[int, str]
    confirmed_words: Mapping[int, str]

    @property
    def is_confirmed(self) -> NDArray[np.bool_]:
        """Where a find confirms it that came after the ground was last destroyed."""
        return np.asarray(~np.isnat(self.confirmed) & ~(self.loss > self.confirmed))

    @property
    def is_destroyed(self) -> NDArray[np.bool_]:
        """Where nothing was put or found since the ground was destroyed."""
        return _is_destroyed(self.release, self.find, self.loss)


def name_states(
    grounds: Grounds,
    chance: NDArray[np.float64],
    arrived: NDArray[np.float64],
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    agent: AgentProfile,
    rule: RecordsTable,
    as_of: np.datetime64,
) -> pd.DataFrame:
    """Return the state of each place, with its year, its sentence and its chance.

    Parameters
    ----------
    grounds
        What the chances rest on.
    chance, arrived
        (places, 3) lowest, best and highest chance, and the part of it that came from others [share].
    releases, visits
        The agent's records; visits with ``confirms``.
    agent
        Its profile: how long after a release nothing can be said.
    rule
        From which chance on which word is used.
    as_of
        The day it is said for.

    Returns
    -------
    pandas.DataFrame
        Rows as in ``grounds.places``, index ``place_id``; columns ``STATE_COLUMNS``, and ``is_destroyed``:
        what lived there was destroyed on record.

    Notes
    -----
    The first that fits: lost, confirmed, too early, then likely, possible or unlikely by the best chance.
    What was destroyed on record is lost, until others are more than unlikely to have come in its place.
    ``state_year`` is the year of the loss, of the last find that confirms, or of the last record that speaks;
    nan where none does, and where others are likely or may have come since a loss.
    """
    records = _gather(grounds, releases, visits)
    wait_years = _wait_years(agent)
    state = _states(records, chance[:, 1], rule, wait_years, as_of)
    day = _last_that_speaks(records, state)
    year = np.where(np.isnat(day), np.nan, day.astype("datetime64[Y]").astype(np.int64) + 1970)
    words = _Sentences(grounds, records, arrived, agent, wait_years, rule)
    shares = [plain_values(pd.Series(chance[:, level])) for level in range(3)]
    rows = zip(state, plain_values(pd.Series(year)), *shares, strict=True)
    sentences = [words.of(place, *row) for place, row in enumerate(rows)]
    return pd.DataFrame(
        {
            "state": state,
            "state_year": year,
            "state_words": np.array(sentences, dtype=object),
            "presence_low_share": chance[:, 0],
            "presence_share": chance[:, 1],
            "presence_high_share": chance[:, 2],
            "is_destroyed": records.is_destroyed,
        },
        index=pd.Index(grounds.places.place_id, name="place_id", dtype=object),
    )


def without_records(states: pd.DataFrame) -> pd.DataFrame:
    """Return the states of a season without releases and visits: not known, which is not "not there"."""
    shares = dict.fromkeys(("presence_low_share", "presence_share", "presence_high_share"), np.nan)
    words = "not known: the season has no layer of releases or visits."
    return states.assign(state="", state_year=np.nan, state_words=words, **shares)


def _wait_years(agent: AgentProfile) -> float:
    """Return how long after a release nothing can be said [years]."""
    stated = agent.establishment.years_to_confirm or agent.establishment.first_detectable_years
    return 0.0 if stated is None else float(stated.value)


def _states(
    records: _Records,
    best: NDArray[np.float64],
    rule: RecordsTable,
    wait_years: float,
    as_of: np.datetime64,
) -> NDArray[np.object_]:
    is_on_record = ~np.isnat(np.fmax(records.release, records.find))
    destroyed = records.is_destroyed
    age_days = (as_of - records.release) / np.timedelta64(1, "D")
    is_young = (age_days < np.floor(wait_years * DAYS_PER_YEAR)) & np.isnat(records.effective)
    return np.select(
        [
            destroyed & (best <= rule.unlikely_to_share),
            is_on_record & (best < rule.lost_below_share),
            records.is_confirmed & ~destroyed,
            is_young & ~destroyed,
            best >= rule.likely_from_share,
            best <= rule.unlikely_to_share,
        ],
        np.array(["lost", "lost", "confirmed", "too early", "likely", "unlikely"], dtype=object),
        "possible",
    )


def _last_that_speaks(records: _Records, state: NDArray[np.object_]) -> NDArray[np.datetime64]:
    last = np.fmax(np.fmax(records.release, records.find), records.effective)
    return np.select(
        [
            records.is_destroyed & (state == "lost"),
            records.is_destroyed,
            state == "confirmed",
            state == "too early",
        ],
        [records.loss, np.full(len(last), NO_DAY), records.confirmed, records.release],
        last,
    )


def _gather(grounds: Grounds, releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> _Records:
    happened, number = grounds.happenings, pd.Index(grounds.places.place_id)
    lost = happened.kind == Kind.LOSS
    loss = _last_day(grounds, lost)
    is_told, is_destroyed = _told(grounds, loss)
    speaks = happened.share[:, 1] > 0
    in_vain = is_told & (happened.kind == Kind.NOT_FOUND)
    found = is_told & (happened.kind == Kind.FOUND)
    released = is_told & (happened.kind == Kind.RELEASE)
    confirming = visits[visits["confirms"].to_numpy(dtype=bool)]
    confirming = confirming.assign(place=number.get_indexer(pd.Index(place_of_visits(confirming))))
    is_since = confirming["is_current"].to_numpy(dtype=bool) | is_destroyed[confirming["place"]]
    confirming = confirming[is_since]
    confirming = confirming.sort_values(["date", "visit_id"], kind="stable")
    confirmed = np.full(len(number), NO_DAY)
    confirmed[confirming["place"]] = confirming["date"].to_numpy().astype("datetime64[D]")
    return _Records(
        release=_last_day(grounds, released),
        find=_last_day(grounds, found),
        confirmed=confirmed,
        loss=loss,
        effective=_last_day(grounds, (found | in_vain) & speaks),
        in_vain=_count(grounds, in_vain & speaks),
        silent=_count(grounds, in_vain & ~speaks),
        loss_words=dict(
            zip(
                happened.place[lost].tolist(),
                [str(grounds.losses.what[row]) for row in happened.row[lost]],
                strict=True,
            )
        ),
        release_words=_release_words(grounds, releases, released),
        confirmed_words={
            int(str(place)): str(text)
            for place, text in join_texts(confirming["visit_id"], confirming["place"], ", ").items()
        },
    )


def _told(grounds: Grounds, loss: NDArray[np.datetime64]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which happenings are told of each place, and which places were destroyed.

    What was destroyed is told whole; elsewhere only what came since the last loss.
    """
    happened = grounds.happenings
    release, find = (_last_day(grounds, happened.kind == kind) for kind in (Kind.RELEASE, Kind.FOUND))
    is_destroyed = _is_destroyed(release, find, loss)
    return ~(happened.day < loss[happened.place]) | is_destroyed[happened.place], is_destroyed


def _is_destroyed(
    release: NDArray[np.datetime64], find: NDArray[np.datetime64], loss: NDArray[np.datetime64]
) -> NDArray[np.bool_]:
    last_alive = np.fmax(release, find)
    return np.asarray(~np.isnat(last_alive) & (loss > last_alive))


def _last_day(grounds: Grounds, kept: NDArray[np.bool_]) -> NDArray[np.datetime64]:
    last = np.full(len(grounds.places.place_id), NO_DAY)
    last[grounds.happenings.place[kept]] = grounds.happenings.day[kept]
    return last


def _count(grounds: Grounds, kept: NDArray[np.bool_]) -> NDArray[np.int64]:
    return np.bincount(grounds.happenings.place[kept], minlength=len(grounds.places.place_id))


def _release_words(grounds: Grounds, releases: gpd.GeoDataFrame, put: NDArray[np.bool_]) -> dict[int, str]:
    happened = grounds.happenings
    ids, day = plain_values(releases["release_id"]), happened.day
    rows: dict[int, list[int]] = {}
    for at in np.flatnonzero(put).tolist():
        rows.setdefault(int(happened.place[at]), []).append(at)
    words = {}
    for place, several in rows.items():
        first, last = several[0], several[-1]
        if len(several) == 1:
            words[place] = f"release {ids[happened.row[first]]} of {day[first]}"
        else:
            words[place] = f"{len(several)} releases, {day[first]} to {day[last]}"
    return words


class _Sentences:
    """The sentence of each place."""

    def __init__(
        self,
        grounds: Grounds,
        records: _Records,
        arrived: NDArray[np.float64],
        agent: AgentProfile,
        wait_years: float,
        rule: RecordsTable,
    ) -> None:
        self.likely_from_share = rule.likely_from_share
        self.arrived = arrived
        self.grounds, self.records, self.wait_years = grounds, records, wait_years
        self.is_destroyed = records.is_destroyed
        self.stays_unsaid = agent.establishment.persistence_share is None
        if len(grounds.origins.place) == 0:
            self.without = "no release or find is on record anywhere"
        elif can_spread(agent.spread):
            self.without = "no release or find on record here, only what may have come from others"
        else:
            self.without = "no release or find on record here, and the profile does not say how it spreads"

    def of(self, place: int, state: State, year: float, low: float, best: float, high: float) -> str:
        """Return the sentence of one place."""
        when = "" if np.isnan(year) else f" ({year:.0f})"
        since = ""
        if self.stays_unsaid and when and state != "lost" and not self.is_destroyed[place]:
            since = f", if nothing has happened since {year:.0f}"
        chance = percent_range(low, best, high)
        if state == "confirmed" and best < self.likely_from_share:
            chance = f"in doubt, {chance}"
        if self.is_destroyed[place]:
            chance += " that it has come back"
        return f"{STATE_LABELS[state]}{when}, now {chance}{since}: {self._basis(place, state)}."

    def _basis(self, place: int, state: State) -> str:
        records = self.records
        parts = []
        if self.is_destroyed[place]:
            parts.append(f"{records.loss_words[place]}, {records.loss[place]}")
        if state == "too early":
            parts.append(f"to be known from {_year_after(records.release[place], self.wait_years)}")
        parts.append(records.release_words.get(place, ""))
        if place in records.confirmed_words:
            parts.append(f"found by {records.confirmed_words[place]}")
        elif not np.isnat(records.find[place]):
            parts.append(f"found on {records.find[place]}, too early to confirm")
        if records.in_vain[place]:
            parts.append(_visits(records.in_vain[place], "that found nothing"))
        if records.silent[place]:
            parts.append(_visits(records.silent[place], "that says nothing", "that say nothing"))
        if not any(parts):
            return self.without
        if self.arrived[place, BEST] >= WORTH_SAYING:
            parts.append(f"{percent_range(*self.arrived[place].tolist())} that others around have sent it")
        if place in records.loss_words and not self.is_destroyed[place]:
            parts.append(f"since {records.loss_words[place]}, {records.loss[place]}")
        parts.append(self.grounds.losses.touched.get(place, ""))
        return "; ".join(part for part in parts if part)


def _visits(number: int, one: str, several: str = "") -> str:
    return f"1 visit {one}" if number == 1 else f"{number} visits {several or one}"


def _year_after(day: np.datetime64, years: float) -> int:
    return int(str(day + np.timedelta64(int(np.floor(years * DAYS_PER_YEAR)), "D"))[:4])
