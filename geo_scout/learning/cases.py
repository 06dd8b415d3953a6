"""One row per release: what became of it, and how its site stood before."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from geo_scout.model.backtest import AS_OF_COLUMNS
from geo_scout.model.outcomes import REASONS


def case_table(
    agent: str, outcomes: pd.DataFrame, then: Mapping[str, Mapping[str, object]], columns: Sequence[str]
) -> pd.DataFrame:
    """Return the releases of one agent with what each site was worth on the day, by day and id.

    Parameters
    ----------
    agent
        Name of the agent.
    outcomes
        What became of each release (`evidence.judge_releases`).
    then
        By release_id: ``site_id``, ``score``, ``score_low``, ``score_high``, ``crew_distance_km``,
        ``infested_ha`` and the columns of the criteria; no entry where no patch was mapped.
    columns
        The columns of the criteria, measures and values.

    Returns
    -------
    pandas.DataFrame
        ``CASE_COLUMNS``, the last of them ``AS_OF_COLUMNS``, and ``columns``. A release without a patch on
        its day is not used, whatever became of it.
    """
    ids = [str(name) for name in outcomes["release_id"]]
    scored = pd.DataFrame([then.get(name, {}) for name in ids], index=outcomes.index)
    numbers = scored.reindex(columns=list(dict.fromkeys([*AS_OF_COLUMNS, *columns]))).astype(np.float64)
    is_mapped = np.array([name in then for name in ids], dtype=bool)
    tells = outcomes["label"].to_numpy(dtype=object) != "unused"
    reason = np.where(tells & ~is_mapped, "not-mapped", outcomes["reason"].to_numpy(dtype=object))
    table = pd.DataFrame(
        {
            "agent": agent,
            "release_id": ids,
            "release_date": outcomes["date"].to_numpy(),
            "district": outcomes["district"].to_numpy(dtype=object),
            "label": np.where(is_mapped, outcomes["label"].to_numpy(dtype=object), "unused"),
            "reason": reason,
            "reason_words": [REASONS[code] for code in reason],
            "visited": np.where(outcomes["visited"].to_numpy(dtype=bool), "yes", "no").astype(object),
            "told_on": outcomes["told_on"].to_numpy(),
            "missed_share": outcomes["missed_share"].to_numpy(dtype=np.float64),
            "arrived_share": outcomes["arrived_share"].to_numpy(dtype=np.float64),
            "site_id": [str(then[name]["site_id"]) if name in then else "" for name in ids],
        }
    )
    table = pd.concat([table, numbers.reset_index(drop=True)], axis=1)
    return table.sort_values(["release_date", "release_id"], kind="stable", ignore_index=True)
