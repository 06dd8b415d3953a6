"""Weights as they may also be: drawn around those of the season, by their order alone, or freely."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.weight_draws import (
    free_weights,
    kappa_for_spread,
    ordered_weights,
    weight_spread,
    weights_around,
)
from geo_scout.model.season import RankingTable

FloatArray = NDArray[np.float64]


def draw_weights(weights: Mapping[str, float], ranking: RankingTable, draws: int) -> FloatArray:
    """Return the weights of every draw, (draws, k), rows sum to 1 [share].

    Parameters
    ----------
    weights
        The season's weights by criterion, summing to one; one of 0 stays 0 in every draw [share].
    ranking
        How weights are drawn, and the seed.
    draws
        How many draws.
    """
    counts = [name for name, weight in weights.items() if weight > 0]
    drawn = np.zeros((draws, len(weights)))
    columns = [column for column, weight in enumerate(weights.values()) if weight > 0]
    drawn[:, columns] = _draw_counting(counts, np.array([weights[name] for name in counts]), ranking, draws)
    return drawn


def _draw_counting(names: list[str], weights: FloatArray, ranking: RankingTable, draws: int) -> FloatArray:
    if len(names) == 1:
        return np.ones((draws, 1))
    if ranking.weights_drawn == "free":
        return free_weights(names, draws, ranking.seed)
    if ranking.weights_drawn == "order":
        places = np.unique(-weights, return_inverse=True)[1] + 1
        return ordered_weights(names, places.tolist(), draws, ranking.seed)
    return weights_around(names, weights, _kappa(len(names), ranking), draws, ranking.seed)


def weights_in_words(weights: Mapping[str, float], ranking: RankingTable) -> str:
    """Say how weights were drawn, in one sentence."""
    count = sum(weight > 0 for weight in weights.values())
    if count == 1:
        return "Weights: one criterion has all the weight, so there is nothing to draw."
    if ranking.weights_drawn == "free":
        return "Weights: freely, every set that sums to 1 as likely as any other."
    if ranking.weights_drawn == "order":
        return "Weights: every set in the order of the season's weights as likely as any other."
    kappa, average = _kappa(count, ranking), 1 / count
    _, low, high = weight_spread([average, 1 - average], kappa)
    return (
        f"Weights: around the season's own (Dirichlet, kappa {kappa:.1f}, by weights_spread_share "
        f"{ranking.weights_spread_share:g}): one of {average:.2f} lies between {low[0]:.2f} and "
        f"{high[0]:.2f} in nine draws of ten."
    )


def _kappa(count: int, ranking: RankingTable) -> float:
    """Return how firmly weights hold, so that one of average size spreads as the season states."""
    average = 1 / count
    # Beyond this even weights of which nothing is known spread less; kappa = k is no knowledge at all.
    widest = np.sqrt(average * (1 - average) / (count + 1))
    return kappa_for_spread(average, float(min(ranking.weights_spread_share, widest)))
