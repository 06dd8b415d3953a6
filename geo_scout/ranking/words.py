"""Why a site stands where it stands, in a short paragraph made of its own numbers."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.dominance import dominators
from geo_scout.model.criteria import ReleaseCriteria, Role, SourceCriteria
from geo_scout.ranking.ranked_values import RankedValues
from geo_scout.ranking.score import value_interval

FloatArray = NDArray[np.float64]

FOR_IT, AGAINST_IT = 3, 2
"""Most criteria told that speak for a site, and that hold it back. Our choice."""
LEAST_LOST = 0.005
"""Fewer points lost by a criterion hold no site back [points]. Our choice."""
_EQUAL_DECIMALS = 6
_DECIMALS = {"ha": 2, "km": 1, "pct": 0, "m": 0, "deg": 0}


def criterion_in_words(name: str, role: Role) -> str:
    """Return what a criterion is about, from the settings that declare it.

    >>> criterion_in_words("crew_distance", "release")
    'distance to the nearest crew base'
    """
    fields = (ReleaseCriteria if role == "release" else SourceCriteria).model_fields
    meaning = fields[name].description if name in fields else None
    return (meaning or name.replace("_", " ")).partition(", because")[0]


def percent_of_draws(share: float) -> str:
    """Return a share of draws in whole percents; only all and none of them are 100 and 0.

    >>> percent_of_draws(0.9996), percent_of_draws(0.314), percent_of_draws(1.0), percent_of_draws(0.001)
    ('more than 99 %', '31 %', 'all', 'less than 1 %')
    """
    if share in (0.0, 1.0):
        return "all" if share else "none"
    if not 0.005 <= share < 0.995:
        return "less than 1 %" if share < 0.5 else "more than 99 %"
    return f"{100 * share:.0f} %"


def why_here(sites: RankedValues, role: Role, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return one paragraph for each of the first ranked sites.

    Parameters
    ----------
    sites
        All ranked sites, best first.
    role
        Of the ranking.
    rows
        Rows of the table to speak of, best first, with ``rank``, ``score``, ``rank_low``, ``rank_high``,
        ``top_n_share``, ``eligible_share`` and ``beats_next_share``.
    """
    ends = _ends_of_values(sites)
    return [
        " ".join(
            [
                _standing(row, len(sites.ids)),
                *_points(sites, place, role),
                *how_sure(row, sites.top_n, _next(sites, place), len(sites.ids)),
                *_level(sites, place),
                *_dominated(sites, ends, place),
            ]
        )
        for place, row in enumerate(rows)
    ]


def _standing(row: Mapping[str, Any], count: int) -> str:
    return f"Ranks {row['rank']} of {count}, with a score of {row['score']:.3f}."


def _points(sites: RankedValues, place: int, role: Role) -> Iterator[str]:
    # Rounded, so that equal points come in the order of the criteria and not in that of their last bits.
    got, lost = sites.gives[place], sites.lacks[place]
    most = [column for column in np.argsort(-got, kind="stable")[:FOR_IT] if got[column] > 0]
    if most:
        told = [
            f"{criterion_in_words(sites.names[column], role)} ({_measure(sites, place, column)}, "
            f"{_share_of_score(sites, place, column, got[column])})"
            for column in most
        ]
        is_sum = sites.method == "weighted_sum"
        largest = "Its largest part is" if len(most) == 1 else "Its largest parts are"
        lead = largest if is_sum else "What lifts it most above the median of the list:"
        yield f"{lead} {_joined(told)}."
    elif sites.method != "weighted_sum" and len(sites.ids) > 1:
        yield "No single criterion lifts it above the median of the list."
    worst = [column for column in np.argsort(-lost, kind="stable")[:AGAINST_IT] if lost[column] >= LEAST_LOST]
    if worst:
        told = [
            f"{criterion_in_words(sites.names[column], role)} ({_measure(sites, place, column)}, "
            f"{_worth(sites, place, column)})"
            for column in worst
        ]
        yield f"What holds it back most: {_joined(told)}."
    elif stuck := _stuck_at_nothing(sites, place, role):
        yield f"What holds it back: {_joined(stuck)}; with two values of 0 no single one would raise it."
    else:
        yield "Nothing by itself holds it back."


def _stuck_at_nothing(sites: RankedValues, place: int, role: Role) -> list[str]:
    """Return the criteria that count and are worth 0, where more than one keeps a product at 0."""
    if sites.method != "weighted_product":
        return []
    columns = np.flatnonzero((sites.values[place] == 0) & (sites.weights > 0)).tolist()
    if len(columns) < 2:
        return []
    return [
        f"{criterion_in_words(sites.names[column], role)} ({_measure(sites, place, column)}, "
        f"{_worth(sites, place, column)})"
        for column in columns
    ]


def _share_of_score(sites: RankedValues, place: int, column: int, points: float) -> str:
    """Return what a criterion gives: points where the score is their sum, else its value and its weight."""
    if sites.method == "weighted_sum":
        known = sites.measures[sites.names[column]].known[sites.rows[place]]
        return f"{'' if known else 'counted at the least it can be, '}{points:.3f} points"
    return f"{_worth(sites, place, column)}, weight {sites.weights[column]:.3f}"


def _worth(sites: RankedValues, place: int, column: int) -> str:
    known = sites.measures[sites.names[column]].known[sites.rows[place]]
    worth = f"worth {sites.values[place, column]:.2f} of 1"
    return worth if known else "counted at the least it can be"


def _measure(sites: RankedValues, place: int, column: int) -> str:
    measure, row = sites.measures[sites.names[column]], sites.rows[place]
    if not measure.known[row]:
        return "not measured"
    value = float(measure.value[row])
    if measure.unit == "share":
        return f"{100 * value:.0f} %" if value == 0 or value >= 0.005 else "less than 1 %"
    unit = {"pct": " %", "": ""}.get(measure.unit, f" {measure.unit}")
    return f"{value:.{_DECIMALS.get(measure.unit, 2)}f}{unit}"


def _next(sites: RankedValues, place: int) -> str:
    """Return the next site on the list; "" where there is none, or it has the very score of this one."""
    is_last = place + 1 >= len(sites.ids)
    return "" if is_last or sites.now[place] == sites.now[place + 1] else sites.ids[place + 1]


def _level(sites: RankedValues, place: int) -> Iterator[str]:
    """Yield how many other sites have this very score."""
    level = int((sites.now == sites.now[place]).sum()) - 1
    if level:
        others = "1 other site has" if level == 1 else f"{level} other sites have"
        yield f"{others} this very score; only their ids decide the order among them."


def how_sure(row: Mapping[str, Any], top_n: int, after: str, count: int) -> Iterator[str]:
    """Yield how sure a rank is, from the columns of its row; nothing where nothing was drawn.

    Parameters
    ----------
    row
        Of the table.
    top_n
        Where the cut is.
    after
        The next on the list that is not level with it; "" none.
    count
        How many are ranked.
    """
    low, high = row["rank_low"], row["rank_high"]
    top, share = percent_of_draws(row["top_n_share"]), row["eligible_share"]
    among = "the" if share == 1 or top == "none" else "all"
    listed = f"among the first {top_n} in {top} of {among} draws"
    if pd.isna(low) or pd.isna(high):
        yield f"It is {listed} of weights and data."
        if share < 1:
            yield f"In {percent_of_draws(1 - share)} of all draws a limit would leave it out."
    else:
        ranks = f"ranks {low}" if low == high else f"ranks between {low} and {high}"
        more = " (sites left out today may come in)" if high > count else ""
        draws = "draws of weights and data"
        if share < 1:
            draws = f"of the {draws} in which no limit leaves it out ({percent_of_draws(share)} of all)"
        yield f"In nine of ten {draws} it {ranks}{more}; it is {listed}."
        if not low <= row["rank"] <= high:
            yield (
                "Its rank lies outside of that: what was not measured counts at the least it can be, and in "
                "the draws at all it can be."
            )
    if after and not pd.isna(row["beats_next_share"]):
        beats = percent_of_draws(row["beats_next_share"])
        those = "them" if share == 1 else "those that decide"
        yield f"It stands before {after}, the next, in {beats} of {those}."


def _ends_of_values(sites: RankedValues) -> tuple[FloatArray, FloatArray]:
    """Return lowest and highest values of the ranked sites, of the criteria that count, (n, c) each."""
    names = [name for name, weight in zip(sites.names, sites.weights, strict=True) if weight > 0]
    ends = [value_interval(sites.criteria[name].curve, sites.measures[name]) for name in names]
    low, high = (np.column_stack([pair[end][sites.rows] for pair in ends]) for end in (0, 1))
    return np.round(low, _EQUAL_DECIMALS), np.round(high, _EQUAL_DECIMALS)


def _dominated(sites: RankedValues, ends: tuple[FloatArray, FloatArray], place: int) -> Iterator[str]:
    """Yield which better-placed sites surely are at least as good in every criterion that counts."""
    low, high = ends
    better = dominators(low[: place + 1], high[: place + 1], place)
    if len(better):
        told = _joined([sites.ids[one] for one in better[:2]])
        more = f" and {len(better) - 2} more" if len(better) > 2 else ""
        verb = "is" if len(better) == 1 else "are"
        counting = (
            "every criterion, whatever the weights"
            if (sites.weights > 0).all()
            else ("every criterion that has a weight")
        )
        yield f"{told}{more} {verb} at least as good in {counting}."


def _joined(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
