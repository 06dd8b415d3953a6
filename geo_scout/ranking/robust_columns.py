"""How sure each rank is, why the site is here, and what would change it, as columns of a ranking."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.criteria import Criterion, Role
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.robustness import Robustness
from geo_scout.model.rows import each_row
from geo_scout.ranking.changes import change_sentence
from geo_scout.ranking.ranked_values import ranked_values
from geo_scout.ranking.score import ScoredSites
from geo_scout.ranking.words import why_here

MOST_WORDS = 1_000
"""Ranked sites of each list that have a paragraph in the tables; `explain` has one of each. Our choice."""
LISTS_OF_CHANGES = 2
"""Sites ranked up to this many times top_n are told what would change it in the tables. Our choice."""
SHARES = ("top_n_share", "eligible_share", "confidence_share", "beats_next_share")


def robust_columns(
    table: pd.DataFrame,
    role: Role,
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    robustness: Robustness,
) -> pd.DataFrame:
    """Return the columns, rows and index as in the table.

    Parameters
    ----------
    table
        One row per patch in their order, with ``site_id``, ``rank``, ``score``, ``gross_ha`` and
        ``what_would_change_it`` of the sites left out.
    role, criteria, measures, scored
        Whose ranking, and how it is scored.
    robustness
        How sure it is.

    Returns
    -------
    pandas.DataFrame
        ``rank_low``, ``rank_high`` (ranked sites only, empty where not followed), the shares, ``why_here``
        and ``what_would_change_it``.
    """
    is_ranked = table["rank"].notna().to_numpy()
    columns: dict[str, Any] = {}
    for name, ranks in (("rank_low", robustness.rank_low), ("rank_high", robustness.rank_high)):
        columns[name] = pd.array(np.where(is_ranked & (ranks > 0), ranks, 0), dtype="Int64")
        columns[name][np.asarray(columns[name] == 0, dtype=bool)] = pd.NA
    columns |= {name: getattr(robustness, name) for name in SHARES}
    rows = np.flatnonzero(is_ranked)
    rows = rows[np.argsort(table["rank"].to_numpy(dtype=np.float64, na_value=np.nan)[rows])]
    sure = pd.DataFrame(columns, index=table.index)
    told = pd.concat([table[["site_id", "rank", "score"]], sure], axis=1).iloc[rows]
    gross_ha = table["gross_ha"].to_numpy(dtype=np.float64)
    words, changes = _words(told, rows, role, criteria, measures, scored, gross_ha, robustness.top_n)
    change = table["what_would_change_it"].to_numpy(dtype=object, copy=True)
    why = np.full(len(table), "", dtype=object)
    why[rows[: len(words)]] = words
    change[rows[: len(changes)]] = changes
    return sure.assign(why_here=why, what_would_change_it=change)


def _words(
    told: pd.DataFrame,
    rows: NDArray[np.intp],
    role: Role,
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    gross_ha: "np.ndarray[tuple[int], np.dtype[np.float64]]",
    top_n: int,
) -> tuple[Sequence[str], Sequence[str]]:
    if not len(rows):
        return [], []
    ids = [str(site_id) for site_id in told["site_id"].tolist()]
    sites = ranked_values(ids, rows, criteria, measures, scored, gross_ha, top_n)
    shown = [row._asdict() for row in each_row(told.head(MOST_WORDS))]
    near = range(min(len(ids), LISTS_OF_CHANGES * top_n))
    return why_here(sites, role, shown), [change_sentence(sites, place) for place in near]
