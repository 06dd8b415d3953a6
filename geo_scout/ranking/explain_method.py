"""How the score of one site is made of its values, and its rank by every other method, in plain lines."""

from collections.abc import Iterator

import pandas as pd

from geo_scout.formulas.ordered_average import alpha_of_attitude
from geo_scout.model.combination import HOW_SCORED, method_words
from geo_scout.model.ranking import Ranking


def score_lines(ranking: Ranking, row: pd.Series) -> Iterator[str]:
    """Yield how the score is made, where it is not the sum of the points.

    Parameters
    ----------
    ranking
        The ranking.
    row
        The site's row of its table.
    """
    if ranking.method == "weighted_sum":
        return
    yield f"How the values make the score: {method_words(ranking.method, ranking.attitude)}"
    yield f"  {HOW_SCORED[ranking.method]}"
    if ranking.method == "ordered_average":
        yield f"  {_order_words(ranking.attitude)}"
    elif ranking.method == "ideal_distance":
        yield from _ideal_lines(ranking, row)


def _order_words(attitude: float | None) -> str:
    if attitude is None or attitude in (0, 1):
        return f"at attitude {attitude:g} the score is the {'best' if attitude else 'worst'} value alone"
    return (
        "with W the weights added up from the best value on, each value counts "
        f"W^{alpha_of_attitude(attitude):g} less that of the value before it"
    )


def _ideal_lines(ranking: Ranking, row: pd.Series) -> Iterator[str]:
    yield "  value / root of the sum of squares x weight is compared with the best and the worst:"
    for name, point in ranking.ideal.items():
        yield f"    {name}: best {point.best:.6f}, worst {point.worst:.6f}, root {point.root:.6f}"
    count = next((point.site_count for point in ranking.ideal.values()), 0)
    joined = "" if row["status"] == "ranked" else "; it is scored as if it alone joined them"
    yield f"  taken from the {count} sites that no limit but spacing leaves out{joined}"


def comparison_line(ranking: Ranking, site_id: str) -> Iterator[str]:
    """Yield the ranks of a ranked site by the methods that the season does not use.

    Parameters
    ----------
    ranking
        The ranking with its comparison; without one nothing is said.
    site_id
        The site.
    """
    if ranking.comparison is None:
        return
    ranks = ranking.comparison.ranks
    found = ranks[ranks["site_id"] == site_id]
    if found.empty:
        return
    row = found.iloc[0]
    told = "; ".join(
        f"{order.words} {row[order.column]}{_level_words(int(row[order.level_column]))}"
        for order in ranking.comparison.others
    )
    yield f"Rank by other methods: {told}; between {row['best_rank']} and {row['worst_rank']} in all"


def _level_words(others: int) -> str:
    """Say that a rank is one of several that ids alone decide."""
    return f" (level with {others} other{'s' if others > 1 else ''})" if others else ""
