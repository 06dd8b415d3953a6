"""The values behind the scores, unrounded, so that the page can score the sites again by other weights."""

from typing import cast

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map.packing import packed_numbers, packed_shares

FloatArray = NDArray[np.float64]
MOST_EXACT = 160_000
"""Values that travel exactly, 8 bytes each; of more, 4 bytes each."""


def values_in_rows(result: SeasonResult, ranking: Ranking, rows: pd.DataFrame) -> dict[str, object]:
    """Return the values of some rows, by criterion in the order of the ranking's criteria.

    Parameters
    ----------
    result
        The season's result.
    ranking
        Whose values.
    rows
        Rows of the ranking's printed table.

    Returns
    -------
    dict
        ``low`` holds per criterion the lowest value each site can have; ``high`` per criterion pairs of row
        and highest value, only where that is another [0-1]. They are not rounded: what the page orders by
        other weights is ordered as a run would order it.
    """
    host = next(profile.host for profile in result.season.agents if profile.name == ranking.agent)
    places = pd.Index(result.sites[host].patches["site_id"]).get_indexer(pd.Index(rows["site_id"]))
    low = [np.asarray(ranking.low_values[name], dtype=np.float64)[places] for name in ranking.criteria]
    high = [np.asarray(ranking.high_values[name], dtype=np.float64)[places] for name in ranking.criteria]
    return {
        "low": [column.tolist() for column in low],
        "high": [_where_open(*ends) for ends in zip(low, high, strict=True)],
    }


def _where_open(low: FloatArray, high: FloatArray) -> list[list[float | int]]:
    return [[int(row), float(high[row])] for row in np.flatnonzero(high > low)]


def packed_values(result: SeasonResult, ranking: Ranking, ranked: pd.DataFrame) -> dict[str, object]:
    """Return the same of the ranked rows of a large season, packed.

    Parameters
    ----------
    result, ranking
        As for `values_in_rows`.
    ranked
        The ranked rows; the others are never scored by the page.

    Notes
    -----
    Up to `MOST_EXACT` values they are exact. Above, they are whole steps of 2.3e-10, so that a score is off
    by less than that, and the order can differ from a run's only between sites whose scores round apart by
    that much.
    """
    told = values_in_rows(result, ranking, ranked)
    low = cast("list[list[float]]", told["low"])
    packed = packed_numbers if len(ranked) * len(low) <= MOST_EXACT else packed_shares
    return {**told, "low": [packed(column) for column in low]}
