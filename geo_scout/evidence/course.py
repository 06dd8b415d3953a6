"""The course of the chance that an agent lives in each place, year by year and record by record."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.evidence.happenings import Happenings, Kind
from geo_scout.formulas.presence import after_found, after_not_found, after_release, after_year

Tell = Callable[[int, int | None, NDArray[np.float64], NDArray[np.float64]], None]
"""Is told the year, the number of the happening (None the year), the chances after it, (places, 3), and
what of them came from elsewhere."""


@dataclass(frozen=True)
class Course:
    """What the course of a chance rests on.

    Parameters
    ----------
    prior
        (3,) chance that a release establishes, low, best, high; of the unseen release behind a find where
        none is on record, too [share].
    persistence
        (3,) chance that a population alive one year is alive the next [share].
    is_independent
        Whether releases in one place are independent tries.
    """

    prior: NDArray[np.float64]
    persistence: NDArray[np.float64]
    is_independent: bool


def follow(
    happenings: Happenings,
    places: int,
    years: Sequence[int],
    course: Course,
    hazard: NDArray[np.float64] | None = None,
    tell: Tell | None = None,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the chance that the agent lives in each place at the end of the years, and what of it came.

    Parameters
    ----------
    happenings
        What happened, sorted by place and day.
    places
        How many places there are.
    years
        Calendar years, without gaps.
    course
        Prior, persistence, and how releases count.
    hazard
        (years, places, 3) chance that the agent arrives from elsewhere in each year; None never [share].
    tell
        Is told every step; for the derivation of one place.

    Returns
    -------
    chance, arrived : numpy.ndarray
        (places, 3) lowest, best and highest chance, and the part of it that arrived from elsewhere [share].

    Notes
    -----
    Each year: persistence and arrivals, then losses, releases and visits by date. Every visit is taken by
    itself. To put a year's visits together into one chance of finding would, as soon as finds can be
    mistaken, let a visit in vain beside a find raise the chance.

    Two chances are followed for each place: that the agent lives there, and, part of it, that it arrived from
    elsewhere; the years wear down only the rest (`formulas.presence.after_year`). A visit in vain lowers
    both. A find does not tell where the agents came from; what it adds is taken to stand alone.

    A visit in vain speaks against what arrived before it, not against what comes later. So what makes
    arrivals earlier, as a find or a nearer release elsewhere, can leave less of a chance where a visit in
    vain lies between. The lowest chance rests on late arrivals: where it comes out above the best, it is
    given as the best, and a highest below the best too.

    A find where no release is on record since the last loss says that some agents came unseen: it counts as
    if one had been there, beside what arrived. So with finds that can be mistaken (wrong_share, no voucher),
    a release that years or visits in vain speak against can make less of a later find than no release at all.
    """
    chance, arrived = np.zeros((places, 3)), np.zeros((places, 3))
    is_released = np.zeros(places, dtype=bool)
    turns = list(happenings.turns())
    at = 0
    for position, year in enumerate(years):
        coming = 0.0 if hazard is None else hazard[position]
        chance, arrived = after_year(chance, arrived, course.persistence, coming)
        if tell is not None:
            tell(year, None, _in_order(chance), arrived)
        while at < len(turns) and turns[at][0] <= year:
            for kind, group in _by_kind(happenings, turns[at][1]):
                _happen(kind, group, happenings, course, chance, arrived, is_released)
            if tell is not None:
                tell(year, int(turns[at][1][0]), _in_order(chance), arrived)
            at += 1
    return _in_order(chance), np.minimum(arrived, 1.0)


def _in_order(chance: NDArray[np.float64]) -> NDArray[np.float64]:
    low, best, high = np.minimum(chance, 1.0).T
    return np.stack([np.minimum(low, best), best, np.maximum(high, best)], axis=1)


def _by_kind(happenings: Happenings, group: NDArray[np.intp]) -> Iterator[tuple[Kind, NDArray[np.intp]]]:
    kinds = happenings.kind[group]
    for kind in Kind:
        if (members := group[kinds == kind]).size:
            yield kind, members


def _happen(
    kind: Kind,
    group: NDArray[np.intp],
    happenings: Happenings,
    course: Course,
    chance: NDArray[np.float64],
    arrived: NDArray[np.float64],
    is_released: NDArray[np.bool_],
) -> None:
    """Change the chances of the places of one group of happenings of one kind."""
    place, share = happenings.place[group], happenings.share[group]
    before = chance[place]
    if kind is Kind.LOSS:
        chance[place], arrived[place], is_released[place] = 0.0, 0.0, False
    elif kind is Kind.RELEASE:
        chance[place] = after_release(before, arrived[place], share, is_independent=course.is_independent)
        is_released[place] = True
    elif kind is Kind.NOT_FOUND:
        after = after_not_found(before, share)
        chance[place] = after
        arrived[place] *= np.divide(after, before, out=np.ones_like(before), where=before > 0)
    else:
        unseen = after_release(before, arrived[place], course.prior, is_independent=False)
        ground = np.where(is_released[place][:, np.newaxis], before, unseen)
        chance[place] = after_found(ground, share, happenings.wrong[group])
