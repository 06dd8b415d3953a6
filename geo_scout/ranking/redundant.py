"""Criteria that may count one thing twice, as findings on the ranked sites."""

import numpy as np
import pandas as pd

from geo_scout.formulas.redundancy import RedundantPair, redundant_criteria
from geo_scout.model.criteria import ROLE_NOUNS
from geo_scout.model.finding import Finding
from geo_scout.model.ranking import Ranking

_LAYER = "criteria"


def find_redundant(ranking: Ranking, redundant_above: float) -> tuple[Finding, ...]:
    """Return one finding for each pair of criteria that order the ranked sites alike.

    Parameters
    ----------
    ranking
        The ranking; criteria of weight 0 and values that were not measured do not count.
    redundant_above
        From which rank correlation of the values on a pair is named [-1 to 1].

    Notes
    -----
    A pair known together at fewer than ten ranked sites is not judged, nor a criterion in which more than
    half of them have one value: a few sites would decide.
    """
    names = [name for name in ranking.criteria if ranking.weights[name] > 0]
    ranked = ranking.ranked
    names = [name for name in names if _tells_apart(ranked[f"{name}_value"])]
    values = ranked[[f"{name}_value" for name in names]].to_numpy(dtype=np.float64)
    return tuple(_finding(ranking, names, pair) for pair in redundant_criteria(values, redundant_above))


def _tells_apart(values: pd.Series) -> bool:
    """Return whether no value is that of more than half of the sites."""
    counts = values.round(6).value_counts()
    return bool(len(counts)) and 2 * int(counts.iloc[0]) <= int(counts.sum())


def _finding(ranking: Ranking, names: list[str], pair: RedundantPair) -> Finding:
    first, second = names[pair.first], names[pair.second]
    both = ranking.weights[first] + ranking.weights[second]
    what = (
        f"{first} and {second} order the ranked {ROLE_NOUNS[ranking.role]} for {ranking.agent} alike "
        f"(rank correlation {pair.correlation:.2f} over {pair.site_count} sites); together they weigh "
        f"{both:.2f} and may count one thing twice."
    )
    groups = ranking.weighing.groups.values() if ranking.weighing is not None else ()
    is_grouped = any({first, second} <= set(members) for members in groups)
    group = "" if is_grouped else ", or put them into one group ([weights.ROLE.groups.NAME])"
    fix = f"keep one of them{group}; where both are meant, raise redundant_above."
    return Finding("criteria-redundant", "caution", _LAYER, "", what, fix)


def find_idle(ranking: Ranking) -> tuple[Finding, ...]:
    """Return one finding for each criterion with a weight that is worth the same at every ranked site.

    Parameters
    ----------
    ranking
        The ranking; fewer than two ranked sites tell nothing, nor do values that were not measured.
    """
    ranked = ranking.ranked
    values = {
        name: ranked[f"{name}_value"].round(6) for name, weight in ranking.weights.items() if weight > 0
    }
    idle = [name for name, one in values.items() if one.notna().sum() > 1 and one.nunique() == 1]
    return tuple(_idle(ranking, name, float(values[name].dropna().iloc[0])) for name in idle)


def _idle(ranking: Ranking, name: str, value: float) -> Finding:
    what = (
        f"{name} is worth {value:.2f} at every ranked {ROLE_NOUNS[ranking.role].removesuffix('s')} for "
        f"{ranking.agent} where it was measured, so its weight of {ranking.weights[name]:.2f} orders "
        "none of them."
    )
    fix = "look at the ends of its curve and their unit, or give its weight to one that tells sites apart."
    return Finding("criterion-idle", "note", _LAYER, "", what, fix)
