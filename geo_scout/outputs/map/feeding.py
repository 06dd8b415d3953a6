"""Which ranked sources could feed which ranked release sites, for the page."""

from typing import TypedDict

import numpy as np
import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map.cells import Cell, column
from geo_scout.outputs.rounding import decimals_of


class Lines(TypedDict):
    """Lines from the ranked rows of one ranking to rows of the other, row after row, nearest climate first.

    ``counts`` has the number of lines of each ranked row, ``rows`` the row at the other end of each line, and
    ``gaps`` its climate gap as the tables print it.
    """

    counts: list[int]
    rows: list[int]
    gaps: list[Cell]


def feeding(result: SeasonResult, agent: str) -> dict[Role, Lines] | None:
    """Return the lines of one agent from each role's ranked sites; None where no climate gap is measured.

    Parameters
    ----------
    result
        The season's result.
    agent
        Name of the agent.
    """
    pairs = result.possible_sources.get(agent)
    if pairs is None:
        return None
    release, source = (
        pd.Index(result.ranking(agent, role).ranked["site_id"]) for role in ("release", "source")
    )
    placed = pd.DataFrame(
        {
            "release": release.get_indexer(pd.Index(pairs["site_id"])),
            "source": source.get_indexer(pd.Index(pairs["source_site_id"])),
            "gap": pairs["climate_gap"].astype(float).round(decimals_of("climate_gap") or 0),
            "source_order": pairs["source_order"],
            "site_order": pairs["site_order"],
        }
    )
    return {
        "release": _lines(placed, "release", "source", "source_order", len(release)),
        "source": _lines(placed, "source", "release", "site_order", len(source)),
    }


def _lines(placed: pd.DataFrame, start: str, end: str, order: str, count: int) -> Lines:
    kept = placed.dropna(subset=order).sort_values([start, order], kind="stable")
    starts = kept[start].to_numpy(dtype=np.intp)
    return {
        "counts": np.bincount(starts, minlength=count).tolist(),
        "rows": [int(row) for row in kept[end]],
        "gaps": column(kept["gap"]),
    }
