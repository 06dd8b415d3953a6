"""The state of each place in words: confirmed, likely, possible, unlikely, lost, too early to say."""

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.arrivals import can_spread
from geo_scout.evidence.presence import Grounds
from geo_scout.evidence.records_of_places import NO_DAY, PlaceRecords, gather_records
from geo_scout.evidence.signs import BEST
from geo_scout.model.agent import AgentProfile
from geo_scout.model.presence import CAME_BACK, STATE_LABELS, State, percent_range
from geo_scout.model.records_table import RecordsTable
from geo_scout.model.rows import plain_values
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
    records, state = _judge(grounds, chance[:, 1], releases, visits, agent, rule, as_of)
    wait_years = _wait_years(agent)
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


def states_at(
    grounds: Grounds,
    targets: NDArray[np.intp],
    best: NDArray[np.float64],
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    agent: AgentProfile,
    rule: RecordsTable,
    as_of: np.datetime64,
) -> pd.Series:
    """Return the state of some places, index ``place_id``, without its sentence.

    Parameters
    ----------
    grounds, releases, visits, agent, rule, as_of
        As in `name_states`.
    targets
        Numbers of the places.
    best
        Their best chances, in the same order [share].
    """
    every = np.full(len(grounds.places.place_id), np.nan)
    every[targets] = best
    _, state = _judge(grounds, every, releases, visits, agent, rule, as_of)
    return pd.Series(state[targets], index=grounds.places.place_id[targets], dtype=object)


def without_records(states: pd.DataFrame) -> pd.DataFrame:
    """Return the states of a season without releases and visits: not known, which is not "not there"."""
    shares = dict.fromkeys(("presence_low_share", "presence_share", "presence_high_share"), np.nan)
    words = "not known: the season has no layer of releases or visits."
    return states.assign(state="", state_year=np.nan, state_words=words, **shares)


def _judge(
    grounds: Grounds,
    best: NDArray[np.float64],
    releases: gpd.GeoDataFrame,
    visits: gpd.GeoDataFrame,
    agent: AgentProfile,
    rule: RecordsTable,
    as_of: np.datetime64,
) -> tuple[PlaceRecords, NDArray[np.object_]]:
    records = gather_records(grounds, releases, visits)
    return records, _states(records, best, rule, _wait_years(agent), as_of)


def _wait_years(agent: AgentProfile) -> float:
    """Return how long after a release nothing can be said [years]."""
    stated = agent.establishment.years_to_confirm or agent.establishment.first_detectable_years
    return 0.0 if stated is None else float(stated.value)


def _states(
    records: PlaceRecords,
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


def _last_that_speaks(records: PlaceRecords, state: NDArray[np.object_]) -> NDArray[np.datetime64]:
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


class _Sentences:
    """The sentence of each place."""

    def __init__(
        self,
        grounds: Grounds,
        records: PlaceRecords,
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
            chance += CAME_BACK
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
