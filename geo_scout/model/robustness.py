"""How sure each site's rank is, when weights and data are drawn as they may also be."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
RankArray = NDArray[np.int64]


@dataclass(frozen=True)
class Robustness:
    """Ranks of every site over many draws of weights and data; arrays in the order of the patches.

    Parameters
    ----------
    draws
        How many draws were made; 0 where no site can be ranked.
    top_n
        The list that `top_n_share` is about.
    rank_low, rank_high
        (n,) ranks that 5 % and 95 % of the draws in which the site may be used do not pass; 0 where it never
        may, or was not followed because it stands so deep among very many sites.
    rank_best, rank_worst
        (n,) best and worst rank of all draws, 0 likewise.
    top_n_share
        (n,) share of all draws in which the site is among the first `top_n` [share].
    eligible_share
        (n,) share of all draws in which nothing leaves the site out [share].
    confidence_share
        (n,) share of the draws in which it is among the first `top_n` when the weights are those that speak
        most for it; nan where it never is, or this was not asked [share].
    beats_next_share
        (n,) share of the draws, of those in which at least one of the two may be used, in which the site
        stands before the one that follows it on the list; nan for the last, for sites level with the next and
        for sites not ranked [share].
    criteria
        Names of the k criteria.
    central_weights
        (n, k) mean of the weights with which the site is among the first `top_n`; nan where it never is
        [share].
    error_share
        Largest standard error that the number of draws leaves in a share of draws [share].
    confidence_draws
        How many of the draws of data `confidence_share` was counted in.
    drawn
        What was drawn, and by which law, one sentence each.
    exact
        What was taken as exact though it is not, one sentence each.
    ranges
        By criterion, the lowest and the highest measure that a draw can give each site, (n,) each; the
        infested area is always among them [unit of the measure].
    """

    draws: int
    top_n: int
    rank_low: RankArray
    rank_high: RankArray
    rank_best: RankArray
    rank_worst: RankArray
    top_n_share: FloatArray
    eligible_share: FloatArray
    confidence_share: FloatArray
    beats_next_share: FloatArray
    criteria: tuple[str, ...]
    central_weights: FloatArray
    error_share: float
    confidence_draws: int
    drawn: tuple[str, ...]
    exact: tuple[str, ...]
    ranges: Mapping[str, tuple[FloatArray, FloatArray]] = field(default_factory=dict)
