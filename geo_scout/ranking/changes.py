"""The smallest change of a weight, or of a measure, that moves a site across the cut, in a sentence."""

import math

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer, weighted_sum
from geo_scout.formulas.weight_change import changed_weights, weight_across_cut
from geo_scout.ranking.measure_change import MeasureChange, least_measure_change
from geo_scout.ranking.ranked_values import MOST_TRIED, STEPS, RankedValues
from geo_scout.ranking.score import value_interval

FloatArray = NDArray[np.float64]
_HALVINGS = 24
_MOST_DECIMALS = 7
# More than the rounding of a score, far less than a millionth.
_HAIR = 1e-12


def change_sentence(sites: RankedValues, place: int) -> str:
    """Return what would move one ranked site into the first places, or out of them.

    Parameters
    ----------
    sites
        The ranked sites.
    place
        Which of them, from 0.

    Notes
    -----
    One thing changes and everything else stays: who is left out, the measures of the other sites, and the
    proportions of the other weights. Both answers are scored and ranked again, as printed. Of several
    measures the one is told that moves least, as a share of its curve's width. What was not measured counts
    at the least it can be: where one such measure alone could bring a site in, the least value that does is
    told beside the other changes. By methods other than the
    weighted sum weights are tried in steps of a hundredth, and not at all among more than 5,000 ranked sites.
    """
    first, count = sites.top_n, len(sites.ids)
    if count <= first:
        only = "only 1 is ranked" if count == 1 else f"only {count} are ranked"
        return f"No single weight or measure moves it off the first {first}: {only}."
    is_inside = place < first
    by_weight = _weight_words(sites, place)
    by_measure, by_measuring = _measure_words(sites, place), _measuring_words(sites, place)
    moved = f"drop out of the first {first}" if is_inside else f"come among the first {first}"
    said = [one for one in (by_weight, by_measure, by_measuring) if one]
    if not said:
        return f"No change of a single weight or measure would make it {moved}."
    held = " Who is left out for being too close to another stays as today." if sites.is_spaced else ""
    return f"It would {moved} if {', or if '.join(said)}.{held}"


def _weight_words(sites: RankedValues, place: int) -> str:
    if sites.method != "weighted_sum":
        return _weight_by_steps(sites, place)
    found = weight_across_cut(sites.values, sites.weights, sites.id_order, place, sites.top_n)
    if found is None:
        return ""
    now = float(sites.weights[found.criterion])
    for decimals in range(2, _MOST_DECIMALS):
        step = 10.0**-decimals
        then = float(np.ceil(found.checked_at / step) if found.checked_at > now else found.checked_at // step)
        then = round(then * step, decimals)
        is_near = abs(then - found.checked_at) <= 0.1 * abs(found.checked_at - now)
        if 0 <= then <= 1 and is_near and _is_moved(sites, place, found.criterion, then):
            return _weight_told(sites, found.criterion, then, decimals)
    return ""


def _weight_told(sites: RankedValues, criterion: int, then: float, decimals: int) -> str:
    name, now = sites.names[criterion].replace("_", " "), float(sites.weights[criterion])
    verb = "rose" if then > now else "fell"
    if f"{now:.{decimals}f}" == f"{then:.{decimals}f}":
        decimals = _MOST_DECIMALS - 1
    return f"the weight of {name} {verb} from {now:.{decimals}f} to {then:.{decimals}f}"


def _is_moved(sites: RankedValues, place: int, criterion: int, weight: float) -> bool:
    """Return whether a weight, the others scaled, moves a site across the cut."""
    weights = changed_weights(sites.weights, criterion, weight)
    return sites.is_first(sites.millionths(sites.values, weights), place) != (place < sites.top_n)


def _weight_by_steps(sites: RankedValues, place: int) -> str:
    """Return the nearest weight in hundredths that moves a site across the cut, and does so as printed."""
    if len(sites.ids) > MOST_TRIED:
        return ""
    moved = sites.tried_weights[:, :, place] != (place < sites.top_n)
    apart = np.where(moved, np.abs(STEPS - sites.weights[:, np.newaxis]), np.inf)
    criterion, step = np.unravel_index(int(apart.argmin()), apart.shape)
    if not np.isfinite(apart[criterion, step]):
        return ""
    return _weight_told(sites, int(criterion), float(STEPS[step]), 2)


def _measure_words(sites: RankedValues, place: int) -> str:
    found = [
        change
        for column, name in enumerate(sites.names)
        if (change := _measure_change(sites, place, column, name)) is not None
    ]
    if not found:
        return ""
    least = min(found, key=lambda change: (round(change.of_curve, 6), sites.names.index(change.name)))
    measure = sites.measures[least.name]
    unit = {"pct": " %", "share": "", "": ""}.get(measure.unit, f" {measure.unit}")
    now, then = f"{least.now:.{least.decimals}f}{unit}", f"{least.then:.{least.decimals}f}{unit}"
    return f"{least.name.replace('_', ' ')} were {then} instead of {now}"


def _measuring_words(sites: RankedValues, place: int) -> str:
    """Return which measure, of those that were not made, could bring a site in, and from which value on."""
    if place < sites.top_n:
        return ""
    found: list[tuple[float, int, str]] = []
    for column, name in enumerate(sites.names):
        measure, row = sites.measures[name], int(sites.rows[place])
        if sites.weights[column] == 0 or measure.known[row]:
            continue
        most = float(value_interval(sites.criteria[name].curve, measure)[1][row])
        worth = _worth_from(_Goal(sites, place, column), most)
        if worth:
            found.append((float(worth) - float(sites.values[place, column]), column, worth))
    if not found:
        return ""
    _, column, least = min(found)
    name = sites.names[column].replace("_", " ")
    return f"{name}, which was not measured, were worth {least} of 1 or more"


def _worth_from(goal: "_Goal", most: float) -> str:
    """Return the least value that does it, rounded upwards; "" where even the most it can be does not."""
    if not (0 <= goal.value <= most and goal.is_reached(most)):
        return ""
    for decimals in range(2, _MOST_DECIMALS):
        step = 10.0**-decimals
        worth = round(math.ceil(float(goal.value) / step) * step, decimals)
        if worth <= most and goal.is_reached(worth):
            return f"{worth:.{decimals}f}"
    return ""


def _measure_change(sites: RankedValues, place: int, column: int, name: str) -> MeasureChange | None:
    measure, row, weight = sites.measures[name], int(sites.rows[place]), float(sites.weights[column])
    if weight == 0 or not measure.known[row]:
        return None
    goal = _Goal(sites, place, column)
    if not 0 <= goal.value <= 1:
        return None
    highest = float(sites.gross_ha[place]) if name == "host_area" else np.inf
    return least_measure_change(
        name, sites.criteria[name].curve, measure.unit, float(measure.value[row]), highest, goal
    )


class _Goal:
    """The value that one criterion of one site must reach for the site to pass its rival at the cut."""

    def __init__(self, sites: RankedValues, place: int, column: int) -> None:
        self.sites, self.place, self.column = sites, place, column
        self.is_higher: bool = place >= sites.top_n
        self.rival = rival = sites.top_n - 1 if self.is_higher else sites.top_n
        if sites.method != "weighted_sum":
            is_too_many = sites.method == "ideal_distance" and len(sites.ids) > MOST_TRIED
            self.value = np.nan if is_too_many else self._halved()
            return
        order = sites.id_order
        both = weighted_sum(sites.values[[place, rival]], sites.weights)
        other = int(score_integer(both)[1])
        goes_first = bool(order[place] < order[rival])
        # The score as a whole number that is just good, or just bad, enough.
        self.millionths = other + (not goes_first) if self.is_higher else other - goes_first
        edge = (self.millionths + (-0.5 if self.is_higher else 0.5)) / 1e6
        missing = edge - float(both[0]) + (_HAIR if self.is_higher else -_HAIR)
        self.value = float(sites.values[place, column]) + missing / float(sites.weights[column])

    def is_reached(self, value: float) -> bool:
        """Return whether this value does it, by the scores of the ranking."""
        if self.sites.method != "weighted_sum":
            return self._is_moved(value)
        table = self.sites.values[[self.place]].copy()
        table[0, self.column] = value
        own = int(score_integer(weighted_sum(table, self.sites.weights))[0])
        return own >= self.millionths if self.is_higher else own <= self.millionths

    def _is_moved(self, value: float) -> bool:
        """Return whether this value moves the site across the cut, all that it changes scored again."""
        sites, place = self.sites, self.place
        # Only the ideal makes the scores of others hang on it.
        rows = (
            np.arange(len(sites.ids)) if sites.method == "ideal_distance" else np.array([place, self.rival])
        )
        table = sites.values[rows].copy()
        own = int(np.flatnonzero(rows == place)[0])
        table[own, self.column] = value
        scores = sites.millionths(table, sites.weights)
        if sites.method == "ideal_distance":
            return sites.is_first(scores, place) == self.is_higher
        order = sites.id_order[rows]
        is_before = scores[0] > scores[1] or (scores[0] == scores[1] and order[0] < order[1])
        return bool(is_before) == self.is_higher

    def _halved(self) -> float:
        """Return the value at which it happens, from the side on which it does; nan where 0 and 1 do not."""
        no, yes = float(self.sites.values[self.place, self.column]), float(self.is_higher)
        if not self._is_moved(yes):
            return np.nan
        for _ in range(_HALVINGS):
            middle = (no + yes) / 2
            no, yes = (no, middle) if self._is_moved(middle) else (middle, yes)
        return yes
