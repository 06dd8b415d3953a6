"""Which ranked sites are better or worse than one whatever the weights, in plain lines."""

from collections.abc import Sequence

import numpy as np

from geo_scout.formulas.dominance import dominators
from geo_scout.model.criteria import ROLE_NOUNS
from geo_scout.model.ranking import Ranking
from geo_scout.ranking.score import value_interval

_NAMED = 5


def explain_dominance(ranking: Ranking, site_ids: Sequence[str], site_id: str) -> str:
    """Return how many ranked sites a site surely beats on every criterion, and which beat it.

    Parameters
    ----------
    ranking
        The ranking.
    site_ids
        Names of all its patches, in the order of the measures.
    site_id
        The site, ranked or not.

    Notes
    -----
    Surely: at its lowest possible values against the highest possible ones of the others. Criteria of weight
    0 do not count. Without another ranked site there is nothing to say, and the text is empty.
    """
    row_of = {name: row for row, name in enumerate(site_ids)}
    others = [name for name in ranking.ranked["site_id"] if name != site_id]
    if not others:
        return ""
    rows = [row_of[site_id], *(row_of[name] for name in others)]
    low, high = _values(ranking, rows)
    better = [others[at - 1] for at in dominators(low, high, 0).tolist()]
    # With the signs turned, those that the site dominates are its dominators.
    beaten = len(dominators(-high, -low, 0))
    noun = ROLE_NOUNS[ranking.role]
    has_idle = any(weight == 0 for weight in ranking.weights.values())
    every = "every criterion that has a weight" if has_idle else "every criterion"
    besides = (
        f"the other {len(others)} ranked {noun}" if len(others) > 1 else f"the other one of the ranked {noun}"
    )
    lines = [
        f"{site_id} beside {besides} for {ranking.agent}, whatever the weights:",
        f"  better than or equal to {beaten} of them on {every}",
    ]
    more = f" and {len(better) - _NAMED} more" if len(better) > _NAMED else ""
    lines.append(f"  beaten or equalled on {every} by {', '.join(better[:_NAMED]) or 'none'}{more}")
    return "\n".join(lines)


def _values(
    ranking: Ranking, rows: Sequence[int]
) -> tuple["np.ndarray[tuple[int, int], np.dtype[np.float64]]", ...]:
    names = [name for name in ranking.criteria if ranking.weights[name] > 0]
    both = [value_interval(ranking.criteria[name].curve, ranking.measures[name]) for name in names]
    return tuple(np.column_stack([one[end][list(rows)] for one in both]) for end in (0, 1))
