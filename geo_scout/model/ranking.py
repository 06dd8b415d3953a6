"""One ranking: every site of one agent in one role, in order, with its reasons."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.combination import IdealPoint, Method
from geo_scout.model.criteria import Criterion, Role
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.method_comparison import MethodComparison
from geo_scout.model.robustness import Robustness
from geo_scout.model.weighing import Weighing


@dataclass(frozen=True)
class Ranking:
    """Ranked sites first, then the sites left out by site_id.

    Parameters
    ----------
    agent, role
        Whose ranking.
    criteria
        Criteria in use with weight and curve, by name.
    weights
        Weights that sum to one, by name [share].
    measures
        What each criterion measured, by name, in the order of the patches.
    table
        One row per patch in output order; columns of the output tables plus ``geometry`` left to Sites.
    robustness
        How sure the order is, in the order of the patches; None where nothing was drawn.
    weighing
        The weights and how they came about.
    method, attitude
        How values are combined, with the attitude of an ordered average.
    comparison
        The ranks by every method.
    score_if_free
        By site_id: score with the chance of waste at nothing, where that is not the sum of other points; else
        None.
    ideal
        By criterion: what ``ideal_distance`` measures it against; empty for other methods.
    low_values, high_values
        By criterion: (n,) lowest and highest value that each patch can have, in the order of the patches; the
        same where it was measured [0-1].
    """

    agent: str
    role: Role
    criteria: Mapping[str, Criterion]
    weights: Mapping[str, float]
    measures: Mapping[str, CriterionValue]
    table: pd.DataFrame
    robustness: Robustness | None = None
    weighing: Weighing | None = None
    method: Method = "weighted_sum"
    attitude: float | None = None
    comparison: MethodComparison | None = None
    score_if_free: pd.Series | None = None
    ideal: Mapping[str, IdealPoint] = field(default_factory=dict)
    low_values: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)
    high_values: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)

    @property
    def ranked(self) -> pd.DataFrame:
        """Rows that have a rank."""
        return self.table[self.table["status"] == "ranked"]

    @property
    def left_out(self) -> pd.DataFrame:
        """Rows left out, with their reasons."""
        return self.table[self.table["status"] == "left out"]
