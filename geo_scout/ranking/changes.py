"""The smallest change of a weight, or of a measure, that moves a site across the cut, in a sentence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import score_integer, weighted_sum
from geo_scout.formulas.weight_change import changed_weights, weight_across_cut
from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.measure_change import MeasureChange, least_measure_change
from geo_scout.ranking.score import ScoredSites

FloatArray = NDArray[np.float64]
_MOST_DECIMALS = 7
# More than the rounding of a score, far less than a millionth.
_HAIR = 1e-12


@dataclass(frozen=True)
class RankedValues:
    """The ranked sites of one ranking, best first, as the weighted sum sees them.

    Parameters
    ----------
    ids
        (n,) site ids.
    names
        (k,) criteria.
    weights
        (k,) weights that sum to one [share].
    values
        (n, k) values that count: at the lower end where nothing was measured [0-1].
    criteria, measures
        Curves, and measures in the order of the patches.
    rows
        (n,) row of each site among the patches.
    gross_ha
        (n,) ground of each site, which an infested area cannot exceed [ha].
    top_n
        Where the cut is.
    """

    ids: Sequence[str]
    names: Sequence[str]
    weights: FloatArray
    values: FloatArray
    criteria: Mapping[str, Criterion]
    measures: Mapping[str, CriterionValue]
    rows: NDArray[np.intp]
    gross_ha: FloatArray
    top_n: int

    @cached_property
    def id_order(self) -> NDArray[np.intp]:
        """The place of each site_id in the order of the ids."""
        return np.argsort(np.argsort(np.array(self.ids, dtype=object), kind="stable"), kind="stable")


def ranked_values(
    ids: Sequence[str],
    rows: NDArray[np.intp],
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    gross_ha: FloatArray,
    top_n: int,
) -> RankedValues:
    """Return the ranked sites, best first, from what all patches are scored with.

    Parameters
    ----------
    ids, rows
        (n,) the ranked sites, best first, and their rows among the patches.
    criteria, measures, scored
        Of all patches.
    gross_ha
        Of all patches [ha].
    top_n
        Where the cut is.
    """
    values = np.column_stack([scored.values[name][rows] for name in criteria])
    weights = np.array([scored.weights[name] for name in criteria])
    return RankedValues(
        ids, tuple(criteria), weights, values, criteria, measures, rows, gross_ha[rows], top_n
    )


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
    For the weighted sum. One thing changes and everything else stays: who is left out, the measures of the
    other sites, and the proportions of the other weights. Both answers are scored and ranked again, as
    printed. Of several measures the one is told that moves least, as a share of its curve's width.
    """
    first, count = sites.top_n, len(sites.ids)
    if count <= first:
        return f"No single weight or measure moves it off the first {first}: only {count} are ranked."
    is_inside = place < first
    by_weight = _weight_words(sites, place)
    by_measure = _measure_words(sites, place)
    moved = f"drop out of the first {first}" if is_inside else f"come among the first {first}"
    said = [one for one in (by_weight, by_measure) if one]
    if not said:
        return f"No change of a single weight or measure would make it {moved}."
    return f"It would {moved} if {', or if '.join(said)}."


def _weight_words(sites: RankedValues, place: int) -> str:
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
            name = sites.names[found.criterion].replace("_", " ")
            verb = "rose" if then > now else "fell"
            return f"the weight of {name} {verb} from {now:.{decimals}f} to {then:.{decimals}f}"
    return ""


def _is_moved(sites: RankedValues, place: int, criterion: int, weight: float) -> bool:
    """Return whether a weight, the others scaled, moves a site across the cut."""
    millionths = score_integer(weighted_sum(sites.values, changed_weights(sites.weights, criterion, weight)))
    order, own = sites.id_order, millionths[place]
    ahead = (millionths > own) | ((millionths == own) & (order < order[place]))
    return (int(ahead.sum()) < sites.top_n) != (place < sites.top_n)


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
        self.is_higher = place >= sites.top_n
        rival = sites.top_n - 1 if self.is_higher else sites.top_n
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
        table = self.sites.values[[self.place]].copy()
        table[0, self.column] = value
        own = int(score_integer(weighted_sum(table, self.sites.weights))[0])
        return own >= self.millionths if self.is_higher else own <= self.millionths
