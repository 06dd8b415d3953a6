"""The rules that are held against what came about: the score, each criterion, and two that need no tool."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.backtest import LARGEST, NEAREST, SCORE


def rules_of(cases: pd.DataFrame, criteria: Sequence[str]) -> dict[str, NDArray[np.float64]]:
    """Return what each rule says of each release, higher for what it would choose first; nan where it cannot.

    Parameters
    ----------
    cases
        Releases with what their sites were worth on their days.
    criteria
        Names of the criteria in use.
    """
    values = {name: _column(cases, f"{name}_value") for name in criteria}
    return {
        SCORE: _column(cases, "score"),
        **values,
        NEAREST: -_column(cases, "crew_distance_km"),
        LARGEST: _column(cases, "infested_ha"),
    }


def _column(cases: pd.DataFrame, name: str) -> NDArray[np.float64]:
    return cases[name].to_numpy(dtype=np.float64)
