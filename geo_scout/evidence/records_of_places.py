"""What the records of each place come to: its last release, find and loss, and the visits in vain."""

from collections.abc import Mapping
from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.happenings import Kind
from geo_scout.evidence.places import place_of_visits
from geo_scout.evidence.presence import Grounds
from geo_scout.model.rows import join_texts, plain_values

NO_DAY = np.datetime64("NaT", "D")


@dataclass(frozen=True)
class PlaceRecords:
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


def gather_records(grounds: Grounds, releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> PlaceRecords:
    """Return what releases, finds, losses and visits in vain come to, place by place.

    Parameters
    ----------
    grounds
        The places and what happened there.
    releases, visits
        The agent's records; visits with ``confirms`` and ``is_current``.
    """
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
    return PlaceRecords(
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
