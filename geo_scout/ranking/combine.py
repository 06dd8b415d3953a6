"""The four ways in which a site's values become its score."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import weighted_sum
from geo_scout.formulas.drawn_scores import (
    extreme_values,
    ideal_closenesses,
    ordered_averages,
    weighted_products,
)
from geo_scout.formulas.ideal_distance import (
    ideal_closeness,
    ideal_closeness_changed,
    ideal_closeness_of_newcomers,
)
from geo_scout.formulas.ordered_average import alpha_of_attitude, ordered_weighted_average
from geo_scout.formulas.rank_draws import Combine
from geo_scout.formulas.weighted_product import weighted_product
from geo_scout.model.combination import Method

FloatArray = NDArray[np.float64]
Combiner = Callable[[FloatArray, FloatArray], FloatArray]


def combiner(method: Method, attitude: float | None = None) -> Combiner:
    """Return the function of values (n, k) and weights (k,) that gives the scores (n,) of one list of sites.

    Parameters
    ----------
    method
        How values are combined.
    attitude
        Of an ordered average; None for every other method [0-1].

    Raises
    ------
    ValueError
        An ordered average without its attitude.

    Notes
    -----
    By distance to the ideal the rows given are the list that the ideal is taken from. At an attitude of 0 or
    1, which no curve reaches, the worst or the best of the values that count is the score.
    """
    if method == "ordered_average":
        if attitude is None:
            message = "an ordered average needs its attitude"
            raise ValueError(message)
        return _ordered(attitude)
    plain: dict[Method, Combiner] = {
        "weighted_sum": weighted_sum,
        "weighted_product": weighted_product,
        "ideal_distance": ideal_closeness,
    }
    return plain[method]


def _ordered(attitude: float) -> Combiner:
    if 0 < attitude < 1:
        alpha = alpha_of_attitude(attitude)
        return lambda values, weights: ordered_weighted_average(values, weights, alpha)
    extreme = np.min if attitude <= 0 else np.max
    return lambda values, weights: np.asarray(extreme(values[:, weights > 0], axis=1), dtype=np.float64)


def combine_interval(
    method: Method,
    attitude: float | None,
    low: FloatArray,
    high: FloatArray,
    weights: FloatArray,
    may_rank: NDArray[np.bool_],
) -> tuple[FloatArray, FloatArray]:
    """Return the lowest and the highest score that each site's own missing measures allow.

    Parameters
    ----------
    method, attitude
        How values are combined.
    low, high
        Lowest and highest possible values, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].
    may_rank
        (n,) sites that the ideal and the worst are taken from.

    Notes
    -----
    Three of the methods never fall when a value rises, so the ends are the scores of the ends. By distance to
    the ideal all other sites stay at their lowest; a site that may not be ranked has the score that it would
    have if it alone joined those that may.
    """
    lowest = combined_score(method, attitude, low, weights, may_rank)
    is_open = (high > low).any(axis=1)
    highest = lowest.copy()
    if is_open.any():
        highest[is_open] = changed_score(method, attitude, low, high, weights, may_rank)[is_open]
    return lowest, highest


def combined_score(
    method: Method,
    attitude: float | None,
    values: FloatArray,
    weights: FloatArray,
    may_rank: NDArray[np.bool_],
) -> FloatArray:
    """Return the score of each site, (n,).

    Parameters
    ----------
    method, attitude
        How values are combined.
    values
        Values, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].
    may_rank
        (n,) sites that the ideal and the worst are taken from.
    """
    if method != "ideal_distance":
        return combiner(method, attitude)(values, weights)
    score = np.empty(len(values))
    score[may_rank] = ideal_closeness(values[may_rank], weights)
    score[~may_rank] = ideal_closeness_of_newcomers(values[may_rank], values[~may_rank], weights)
    return score


def changed_score(
    method: Method,
    attitude: float | None,
    values: FloatArray,
    changed: FloatArray,
    weights: FloatArray,
    may_rank: NDArray[np.bool_],
) -> FloatArray:
    """Return the score each site would have if its own values changed and all others stayed.

    Parameters
    ----------
    method, attitude
        How values are combined.
    values, changed
        Values as they are and as they would be, (n, k) [0-1].
    weights
        Weights that sum to 1, (k,) [share].
    may_rank
        (n,) sites that the ideal and the worst are taken from.
    """
    if method != "ideal_distance":
        return combiner(method, attitude)(changed, weights)
    score = np.empty(len(values))
    score[may_rank] = ideal_closeness_changed(values[may_rank], changed[may_rank], weights)
    score[~may_rank] = ideal_closeness_of_newcomers(values[may_rank], changed[~may_rank], weights)
    return score


def combine_draws(method: Method, attitude: float | None, beside: FloatArray) -> Combine | None:
    """Return how the sites of many draws are scored, as `rank_draws` takes it.

    Parameters
    ----------
    method, attitude
        How values are combined.
    beside
        Values of sites that are in no draw but among those the ideal is taken from, (m, k) [0-1].

    Returns
    -------
    callable or None
        Of tables (1 or d, n, k), weights (d, k) and who may be used (d, n) or None; gives scores (d, n), of
        no meaning for those that may not be used. None for the weighted sum, which is ranked quicker without.
    """
    if method == "weighted_product":
        return lambda tables, weights, _: weighted_products(tables, weights)
    if method == "ideal_distance":
        return lambda tables, weights, usable: ideal_closenesses(tables, weights, usable, beside)
    if method == "ordered_average" and attitude is not None:
        if 0 < attitude < 1:
            alpha = alpha_of_attitude(attitude)
            return lambda tables, weights, _: ordered_averages(tables, weights, alpha)
        return lambda tables, weights, _: extreme_values(tables, weights, is_best=attitude >= 1)
    return None
