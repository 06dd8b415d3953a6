"""What each visit could have seen: the sign it looked for, and the chance that it finds the agent."""

from collections.abc import Sequence
from dataclasses import dataclass

import geopandas as gpd
import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.detection import detection_chance, is_in_season
from geo_scout.model.agent import AgentProfile
from geo_scout.model.establishment import Sign
from geo_scout.model.folded import folded
from geo_scout.model.years import DAYS_PER_YEAR

LOW, BEST, HIGH = 0, 1, 2
NO_VOUCHER = frozenset({"", "no", "none", "0", "false"})
SPEAKS = ""
NO_SIGN = "no sign of the profile has its method"
NO_EFFORT = "no effort is written down"
NOT_LOOKED = "no effort was spent"
OUT_OF_SEASON = "it cannot be seen on that day"
TOO_YOUNG = "the latest release there was too young to be seen"
MISDATED = "it is dated before the release it names"
OF_THE_RELEASED = "it may be of the agents just released there"


@dataclass(frozen=True)
class Sightings:
    """What visits could see, row by row.

    Parameters
    ----------
    sign
        (n,) number of the profile's sign that was looked for; -1 none fits.
    effort_hours
        (n,) person-hours that count; nan unknown [hours].
    found_share
        (n, 3) chance that the visit finds the agent where it lives, low, best and high: 0 where nothing can
        be seen, nan where it is not known [share].
    wrong_share
        (n, 3) chance that it reports the agent where it does not live [share].
    silent
        (n,) why the visit says nothing when it found nothing; "" where it does say something.
    is_too_young
        (n,) whether the latest release there was so young that a find may be of the agents released, and a
        visit in vain of no weight.
    is_misdated
        (n,) whether the visit is dated before the release it names: one of the two is wrong, and the visit
        says nothing.
    """

    sign: NDArray[np.intp]
    effort_hours: NDArray[np.float64]
    found_share: NDArray[np.float64]
    wrong_share: NDArray[np.float64]
    silent: NDArray[np.object_]
    is_too_young: NDArray[np.bool_]
    is_misdated: NDArray[np.bool_]

    @property
    def is_void(self) -> NDArray[np.bool_]:
        """Whether a find changes nothing."""
        return np.asarray(self.is_too_young | self.is_misdated, dtype=bool)

    @property
    def is_out_of_season(self) -> NDArray[np.bool_]:
        """Whether the sign that was looked for cannot be seen on that day."""
        return np.asarray(self.silent == OUT_OF_SEASON, dtype=bool)


def judge_visits(
    visits: gpd.GeoDataFrame,
    latest_release: NDArray[np.datetime64],
    named_release: NDArray[np.datetime64],
    agent: AgentProfile,
    blank_effort_hours: float | None,
) -> Sightings:
    """Return what each visit could have seen.

    Parameters
    ----------
    visits
        Visits of one agent.
    latest_release
        (n,) day of the latest release in the place of each visit, up to the visit; NaT none.
    named_release
        (n,) day of the release each visit names; NaT none.
    agent
        The profile with its signs.
    blank_effort_hours
        Effort that counts where none is written down; None leaves it unknown [hours].

    Notes
    -----
    The sign a visit names decides, if the profile has one of that name; otherwise every sign that has the
    visit's method fits. Of several that fit, the one with the highest chance that day is taken.
    """
    effort = visits["effort_hours"].to_numpy(dtype=np.float64)
    if blank_effort_hours is not None:
        effort = np.where(np.isnan(effort), blank_effort_hours, effort)
    count = len(visits)
    fits, in_season = _fits(visits, agent.signs), _in_season(visits, agent.signs)
    # The first of each stands for no sign.
    share = np.stack([np.zeros((count, 3)), *(_shares(sign, effort) for sign in agent.signs)])
    best_then = np.where(fits & in_season, np.nan_to_num(share[1:, :, BEST]) + 1.0, fits.astype(float) * 0.5)
    choice = np.vstack([np.full(count, 0.25), best_then]).argmax(axis=0)
    rows = np.arange(count)
    seen_then = np.vstack([np.ones(count, dtype=bool), in_season])[choice, rows]
    too_young = _too_young(visits, latest_release, agent)
    misdated = np.asarray(visits["date"].to_numpy() < named_release, dtype=np.bool_)
    silent = np.full(count, SPEAKS, dtype=object)
    for is_so, why in (
        (np.isnan(effort), NO_EFFORT),
        (effort == 0, NOT_LOOKED),
        (too_young, TOO_YOUNG),
        (~seen_then, OUT_OF_SEASON),
        (choice == 0, NO_SIGN),
        (misdated, MISDATED),
    ):
        silent[is_so] = why
    found_share = share[choice, rows]
    found_share[choice == 0] = np.nan
    found_share[(choice > 0) & (too_young | misdated | ~seen_then)] = 0.0
    wrong_share = np.array([[0.0, 0.0, 0.0], *(_wrong(sign) for sign in agent.signs)])[choice]
    wrong_share[has_voucher(visits)] = 0.0
    return Sightings(choice - 1, effort, found_share, wrong_share, silent, too_young, misdated)


def has_voucher(visits: gpd.GeoDataFrame) -> NDArray[np.bool_]:
    """Return whether each visit kept a specimen."""
    words = [folded(str(text)) not in NO_VOUCHER for text in visits["voucher"]]
    return np.array(words, dtype=bool)


def _fits(visits: gpd.GeoDataFrame, signs: Sequence[Sign]) -> NDArray[np.bool_]:
    """Return (sign, visit): whether the visit looked for the sign."""
    methods = [{folded(method) for method in sign.methods} for sign in signs]
    names = [folded(sign.name) for sign in signs]
    answers: dict[tuple[str, str], list[bool]] = {}
    columns = []
    for method, named in zip(visits["method"], visits["sign"], strict=True):
        asked = folded(str(method)), folded(str(named))
        if asked not in answers:
            by_name = [name == asked[1] for name in names]
            answers[asked] = by_name if any(by_name) else [asked[0] in known for known in methods]
        columns.append(answers[asked])
    return np.array(columns, dtype=bool).reshape(len(visits), len(signs)).T


def _in_season(visits: gpd.GeoDataFrame, signs: Sequence[Sign]) -> NDArray[np.bool_]:
    date = visits["date"].dt
    month_day = (date.month * 100 + date.day).to_numpy()
    seasons = [is_in_season(month_day, *(day.number for day in sign.days)) for sign in signs]
    return np.array(seasons, dtype=bool).reshape(len(signs), len(visits))


def _shares(sign: Sign, effort_hours: NDArray[np.float64]) -> NDArray[np.float64]:
    stated = np.array(sign.found_share.low_best_high)
    return detection_chance(stated, effort_hours[:, np.newaxis], sign.effort_hours.value)


def _wrong(sign: Sign) -> tuple[float, float, float]:
    return (0.0, 0.0, 0.0) if sign.wrong_share is None else sign.wrong_share.low_best_high


def _too_young(
    visits: gpd.GeoDataFrame, latest_release: NDArray[np.datetime64], agent: AgentProfile
) -> NDArray[np.bool_]:
    needed = agent.establishment.first_detectable_years
    if needed is None:
        return np.zeros(len(visits), dtype=bool)
    days = (visits["date"].to_numpy() - latest_release) / np.timedelta64(1, "D")
    return np.asarray(days < np.floor(float(needed.value) * DAYS_PER_YEAR))
