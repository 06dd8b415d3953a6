"""On which days of the field season each sign can be seen at each site, in time to be of use."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.establishment import Establishment, Sign
from geo_scout.model.season import Season
from geo_scout.model.years import DAYS_PER_YEAR

Dates = NDArray[np.datetime64]

NOT_IN_SEASON = "not in season"
TOO_YOUNG = "too young"
AFTER_CLOSING = "after closing"
_ONE_YEAR = np.timedelta64(365, "D")


@dataclass(frozen=True)
class SignDays:
    """When one sign can be seen at n sites.

    Parameters
    ----------
    sign
        The sign.
    first, last
        (n,) first and last day on which a visit is of use; NaT where there is none.
    problem
        (n,) why there is none: `NOT_IN_SEASON`, `TOO_YOUNG`, `AFTER_CLOSING`; "" where there is one.
    is_early
        (n,) whether it can be seen before the window opens, so that there is time to act on it.
    """

    sign: Sign
    first: Dates
    last: Dates
    problem: NDArray[np.object_]
    is_early: NDArray[np.bool_]

    @property
    def is_seen(self) -> NDArray[np.bool_]:
        """Where a visit can see it in time."""
        return ~np.isnat(self.first)


def field_days(season: Season) -> tuple[np.datetime64, np.datetime64]:
    """Return first and last day of the field work that is still to come.

    Notes
    -----
    Nothing happens before ``as_of``; a season without an end lasts a year.
    """
    table = season.settings.season
    first = np.datetime64(max(table.start or season.as_of, season.as_of), "D")
    return first, first + _ONE_YEAR if table.end is None else np.datetime64(table.end, "D")


def sign_days(
    sign: Sign,
    season: Season,
    establishment: Establishment,
    latest_release: Dates,
    opens: Dates,
    closes: Dates,
) -> SignDays:
    """Return when one sign can be seen at each site, before its window opens if it can be seen then.

    Parameters
    ----------
    sign
        The sign, with the days of the year on which it can be seen.
    season
        Its field days.
    establishment
        A release younger than ``first_detectable_years`` cannot be found.
    latest_release
        (n,) day of the latest release on the site; NaT none.
    opens
        (n,) day on which its window opens, and the crews' days are planned; NaT where nobody knows.
    closes
        (n,) day after which the site is of no use this season; NaT where nobody knows.
    """
    start, end = field_days(season)
    needed = establishment.first_detectable_years
    wait_days = 0 if needed is None else int(np.ceil(float(needed.value) * DAYS_PER_YEAR))
    ready = latest_release.astype("datetime64[D]") + np.timedelta64(wait_days, "D")
    never = np.full(len(ready), np.datetime64("NaT", "D"))
    first, last = never.copy(), never.copy()
    problem = np.full(len(ready), NOT_IN_SEASON, dtype=object)
    for appears, shuts in _spans(sign, start, end):
        here = np.fmax(ready, max(appears, start))
        until = np.fmin(closes.astype("datetime64[D]"), min(shuts, end))
        is_new = np.isnat(first)
        problem[is_new & (problem == NOT_IN_SEASON)] = AFTER_CLOSING
        problem[is_new & (here > min(shuts, end))] = TOO_YOUNG
        found = is_new & (here <= until)
        first[found], last[found] = here[found], until[found]
        problem[found] = ""
    is_early = np.isnat(opens) | (first < opens)
    last = np.where(is_early, np.fmin(last, opens.astype("datetime64[D]") - np.timedelta64(1, "D")), last)
    return SignDays(sign, first, last, problem, is_early)


def _spans(
    sign: Sign, start: np.datetime64, end: np.datetime64
) -> Iterator[tuple[np.datetime64, np.datetime64]]:
    """Yield the spans in which the sign can be seen that touch the field season, the first one first."""
    first, last = sign.days
    for year in range(_year(start) - 1, _year(end) + 1):
        appears = np.datetime64(first.on(year), "D")
        shuts = np.datetime64(last.until(year + (last < first)), "D")
        if appears <= end and shuts >= start:
            yield appears, shuts


def _year(day: np.datetime64) -> int:
    return int(day.astype("datetime64[Y]").astype(int)) + 1970
