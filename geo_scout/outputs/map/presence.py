"""What the map says of whether the agent lives in each patch, once for both roles."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.cells import column, each_text_once

SHARES = ("presence_low_share", "presence_share", "presence_high_share")
NEXT_TO_NONE, NEXT_TO_ALL = 0.005, 0.995


def presence(result: SeasonResult, agent: str, audience: Audience) -> dict[str, object]:
    """Return state, chance and nearest population of each patch, in the order of the agent's patches.

    Parameters
    ----------
    result
        The season's result.
    agent
        Name of the agent.
    audience
        Public copies do not hold what a state rests on, for it names treatments and visits.

    Returns
    -------
    dict
        Empty where nothing was worked out. ``percent`` holds lowest, best and highest chance as `percents`
        writes them; texts that many patches share are written once.
    """
    sites = result.evidence[agent].sites
    if "state" not in sites:
        return {}
    basis = [str(words).partition(": ")[2] for words in column(sites["state_words"])]
    return {
        "state": _once(column(sites["state"])),
        "year": [None if pd.isna(year) else int(year) for year in sites["state_year"]],
        "percent": [percents(sites[name]) for name in SHARES],
        "basis": _once([""] * len(sites) if audience == "public" else basis),
        "population": _once(column(sites["population_name"])),
        "population_km": column(sites["population_distance_km"].round(3)),
        "gap_crossed": _once(column(sites["gap_crossed"])),
    }


def percents(shares: pd.Series) -> list[float | int | None]:
    """Return chances in whole percents; 0.5 is less than one, 99.5 more than 99, None not known.

    >>> percents(pd.Series([0.0, 0.002, 0.62, 0.999, 1.0, float("nan")]))
    [0, 0.5, 62, 99.5, 100, None]
    """
    return [_percent(share) for share in shares.to_numpy(dtype=np.float64).tolist()]


def _percent(share: float) -> float | int | None:
    if np.isnan(share):
        return None
    if 0.0 < share <= NEXT_TO_NONE:
        return 0.5
    return 99.5 if NEXT_TO_ALL <= share < 1.0 else round(100 * share)


def _once(texts: Sequence[object]) -> dict[str, object]:
    different, row = each_text_once(texts)
    return {"texts": different, "row": row}
