"""Which visits to make, one after the other: each the most worth per hour beside those before it."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.visit_value import VisitOutcomes, most_worth, visit_worth

FloatArray = NDArray[np.float64]

DRAWS = 200
"""Draws of what the visits already chosen find. Our choice."""
RESOLVED = 500
"""Visits chosen one by one; those after them are put in order without weighing them anew. Our choice."""
_AT_ONCE = 1024


@dataclass(frozen=True)
class VisitPlan:
    """Visits in the order they are chosen.

    Parameters
    ----------
    order
        Rows of the sites to visit, the most worth per hour first.
    worth
        (n,) what each adds to those before it; 0 for sites not visited [payoff].
    hurdle
        (n,) gain that each site must pass to be used, before any visit [payoff].
    is_cut
        Whether there are more visits than were weighed one by one.
    """

    order: tuple[int, ...]
    worth: FloatArray
    hurdle: FloatArray
    is_cut: bool = False


def choose_visits(
    outcomes: VisitOutcomes, hours: FloatArray, names: Sequence[str], places: int | None, seed: str = ""
) -> VisitPlan:
    """Return the visits that can change what the season does, chosen greedily.

    Parameters
    ----------
    outcomes
        Of every site the season could use; a site that cannot be visited has one outcome.
    hours
        (n,) person-hours of a visit with its travel, above 0 [hours].
    names
        Site ids: they break ties and seed the draws, so the order of the sites means nothing.
    places
        Number of sites the season uses; None for every site whose gain is above 0.
    seed
        Further words for the draws, such as agent and role.

    Notes
    -----
    The season uses the sites with the largest gains above 0, `places` of them. So a visit is a yes-or-no
    decision about its own site whose hurdle is the gain of the site it would displace, and visits are not
    additive: what other visits find moves the hurdle. The outcomes of the chosen visits are drawn, `DRAWS`
    times, in equal steps of chance; the outcomes of the next one are summed exactly, so one that changes
    nothing is worth 0 exactly. Without a limit of places every hurdle is 0 and nothing is drawn.

    Greedy is not the best set: two visits may be worth more together than each beside the best one.
    """
    hurdle = start_hurdle(outcomes.unseen, places)
    if places is None:
        worth = visit_worth(outcomes, hurdle)
        return VisitPlan(_by_rate(worth, hours, names), worth, hurdle)
    plan = _Resolving(outcomes, hours, names, places, seed)
    while len(plan.order) < RESOLVED:
        best = plan.best()
        if best is None:
            return VisitPlan(tuple(plan.order), plan.worth, hurdle)
        plan.choose(*best)
    return plan.with_rest(hurdle)


def start_hurdle(unseen: FloatArray, places: int | None) -> FloatArray:
    """Return the gain each site must pass to be used, from the sites' gains without any visit [payoff].

    Examples
    --------
    With two places the third best must pass the second, and the second must stay above the third:

    >>> start_hurdle(np.array([3.0, 2.0, 1.0]), 2).tolist()
    [1.0, 1.0, 2.0]
    """
    if places is None:
        return np.zeros(len(unseen))
    inner, outer = _last_used(np.maximum(unseen, 0.0)[:, np.newaxis], places)
    return np.where(unseen >= inner, outer, inner)


def _last_used(gains: FloatArray, places: int) -> tuple[FloatArray, FloatArray]:
    """Return per draw the gain at the last place, and the one after it; 0 where nothing is left for it."""
    if len(gains) <= places + 1:
        gains = np.vstack([gains, np.zeros((places + 2 - len(gains), gains.shape[1]))])
    cut = len(gains) - places
    ordered = np.partition(gains, (cut - 1, cut), axis=0)
    return ordered[cut], ordered[cut - 1]


def _largest(gains: FloatArray, most: int) -> FloatArray:
    """Return the largest gains in any order, 0 for those that are not there."""
    padded = np.append(gains, np.zeros(max(1, most - len(gains))))
    return np.partition(padded, len(padded) - most)[len(padded) - most :]


def _can_matter(outcomes: VisitOutcomes, places: int) -> NDArray[np.bool_]:
    """Return which visits can be worth anything, whatever other visits find.

    In every draw each site's gain lies between the worst and the best of its outcomes, so the gain at the
    last place lies between those at the last place of all worst and of all best gains; so do the hurdles.
    """
    possible = outcomes.chance > 0
    worst = np.where(possible, outcomes.gain, np.inf).min(axis=1, initial=np.inf)
    best = np.where(possible, outcomes.gain, -np.inf).max(axis=1, initial=-np.inf)
    _, least = _last_used(np.maximum(worst, 0.0)[:, np.newaxis], places)
    most, _ = _last_used(np.maximum(best, 0.0)[:, np.newaxis], places)
    can: NDArray[np.bool_] = most_worth(outcomes, least, most) > 0
    return can


def _by_rate(worth: FloatArray, hours: FloatArray, names: Sequence[str]) -> tuple[int, ...]:
    """Return the rows worth something, most per hour first, ties by name."""
    steps = np.floor(worth / hours * 1e9 + 0.5)
    rows = [int(row) for row in np.flatnonzero(worth > 0)]
    return tuple(sorted(rows, key=lambda row: (-steps[row], names[row])))


class _Resolving:
    """The choice as it goes on: what is chosen, what it may find, and the hurdles that leaves."""

    def __init__(
        self, outcomes: VisitOutcomes, hours: FloatArray, names: Sequence[str], places: int, seed: str
    ) -> None:
        self.outcomes, self.hours, self.names, self.places, self.seed = outcomes, hours, names, places, seed
        self.order: list[int] = []
        self.worth = np.zeros(len(outcomes))
        self._drawn: list[FloatArray] = []
        self._is_left = _can_matter(outcomes, places)
        # The others are never visited: of them only the best few gains can stand at the last place.
        self._unvisited = _largest(np.maximum(outcomes.unseen[~self._is_left], 0.0), places + 1)

    def best(self) -> tuple[int, float] | None:
        """Return the visit with the most worth per hour and its worth; None where none is worth anything."""
        inner, outer, weight = self._hurdles()
        rows = np.flatnonzero(self._is_left)
        rates = most_worth(self.outcomes.at(rows), outer.min(), inner.max()) / self.hours[rows]
        rows, rates = rows[rates > 0], rates[rates > 0]
        by_bound = np.argsort(-rates, kind="stable")
        best: tuple[int, float] | None = None
        key = (0.0, "")
        for start in range(0, len(rows), _AT_ONCE):
            block = by_bound[start : start + _AT_ONCE]
            if best is not None and -np.floor(rates[block[0]] * 1e9 + 1) > key[0]:
                break
            worth = self._worth(rows[block], inner, outer, weight)
            steps = np.floor(worth / self.hours[rows[block]] * 1e9 + 0.5)
            for at in np.flatnonzero((steps == steps.max()) & (worth > 0)):
                row = int(rows[block[at]])
                found = (-float(steps[at]), self.names[row])
                if best is None or found < key:
                    best, key = (row, float(worth[at])), found
        return best

    def choose(self, row: int, worth: float) -> None:
        """Add a visit, and draw what it finds."""
        self.order.append(row)
        self.worth[row] = worth
        self._is_left[row] = False
        words = f"{self.seed}|{self.names[row]}".encode()
        random = np.random.default_rng(int.from_bytes(hashlib.sha256(words).digest()[:8], "big"))
        steps = (random.permutation(DRAWS) + 0.5) / DRAWS
        ends = np.cumsum(self.outcomes.chance[row])
        outcome = np.minimum(np.searchsorted(ends, steps * ends[-1], side="right"), len(ends) - 1)
        self._drawn.append(self.outcomes.gain[row][outcome])

    def with_rest(self, hurdle: FloatArray) -> VisitPlan:
        """Return the plan with the visits left over in order of what each would add now."""
        rows = np.flatnonzero(self._is_left)
        inner, outer, weight = self._hurdles()
        for start in range(0, len(rows), _AT_ONCE):
            block = rows[start : start + _AT_ONCE]
            self.worth[block] = self._worth(block, inner, outer, weight)
        rest = np.where(self._is_left, self.worth, 0.0)
        order = _by_rate(rest, self.hours, self.names)
        return VisitPlan((*self.order, *order), self.worth, hurdle, is_cut=bool(order))

    def _hurdles(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the gains at the last place and after it, each pair once, and its share of the draws."""
        left = np.append(np.maximum(self.outcomes.unseen[self._is_left], 0.0), self._unvisited)
        top = _largest(left, self.places + 1)
        if not self._drawn:
            return (*_last_used(top[:, np.newaxis], self.places), np.ones(1))
        drawn = np.maximum(np.array(self._drawn), 0.0)
        gains = np.vstack([np.broadcast_to(top[:, np.newaxis], (len(top), DRAWS)), drawn])
        pairs, counts = np.unique(np.array(_last_used(gains, self.places)), axis=1, return_counts=True)
        return pairs[0], pairs[1], counts / DRAWS

    def _worth(
        self, rows: NDArray[np.intp], inner: FloatArray, outer: FloatArray, weight: FloatArray
    ) -> FloatArray:
        """Return what a visit to each of some sites would add, over the draws."""
        sites = self.outcomes.at(rows)
        hurdle = np.where(sites.unseen[:, np.newaxis] >= inner, outer, inner)
        return visit_worth(sites, hurdle) @ weight
