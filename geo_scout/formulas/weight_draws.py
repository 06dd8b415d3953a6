"""Weights drawn at random: freely, by order of importance alone, or around the weights of the season."""

import hashlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaincinv

from geo_scout.formulas.combining import normalise_weights

FloatArray = NDArray[np.float64]


def free_weights(names: Sequence[str], draws: int, seed: int) -> FloatArray:
    """Return weights of which nothing is known: every set that sums to 1 is as likely as any other.

    Parameters
    ----------
    names
        Names of the k criteria, all different.
    draws
        How many sets of weights.
    seed
        The same seed gives the same draws; more draws go on where fewer ended.

    Returns
    -------
    numpy.ndarray
        (draws, k), rows sum to 1, uniform on the simplex [share].

    Raises
    ------
    ValueError
        There is no name, one occurs twice, or ``draws`` is below 1.

    Notes
    -----
    Every criterion has a stream of its own, seeded by its name, so that the order of the criteria changes
    nothing: a criterion's column is the same to the last bit wherever it stands.

    References
    ----------
    Lahdelma, R. & Salminen, P. 2001. SMAA-2. Operations Research 49: 444-454. Exponential variables divided
    by their sum are uniform on the simplex: Devroye, L. 1986, chapter V (from memory).

    Examples
    --------
    >>> one, other = free_weights(["host", "climate"], 3, 7), free_weights(["climate", "host"], 3, 7)
    >>> bool((one == other[:, ::-1]).all())
    True
    """
    _check(names, draws)
    parts = [_stream(name, "free", seed).standard_exponential(draws) for name in names]
    return _shares(names, np.column_stack(parts))


def ordered_weights(names: Sequence[str], places: Sequence[int], draws: int, seed: int) -> FloatArray:
    """Return weights of which only the order is known: every set in this order is as likely as any other.

    Parameters
    ----------
    names
        Names of the k criteria, all different.
    places
        (k,) place of each in the order of importance, 1 the most important; criteria of the same place are in
        no order among themselves.
    draws, seed
        As in `free_weights`.

    Returns
    -------
    numpy.ndarray
        (draws, k), rows sum to 1, never falling with importance; uniform on the ordered part of the simplex
        [share]. Their mean is the rank-order centroid.

    Raises
    ------
    ValueError
        As in `free_weights`, or the lengths differ.

    References
    ----------
    Lahdelma, R. & Salminen, P. 2001. SMAA-2. Operations Research 49: 444-454, ordinal preferences (from
    memory).

    Examples
    --------
    >>> weights = ordered_weights(["host", "climate"], [2, 1], 1000, 7)
    >>> bool((weights[:, 1] >= weights[:, 0]).all())
    True
    """
    if len(places) != len(names):
        message = f"{len(names)} criteria have {len(places)} places in the order of importance"
        raise ValueError(message)
    most_first = -np.sort(-free_weights(names, draws, seed), axis=1)
    among_equals = np.column_stack([_stream(name, "order", seed).random(draws) for name in names])
    # The larger the share, the smaller the place; equals take their shares in random order.
    order = np.argsort(np.asarray(places, dtype=np.float64) + among_equals, axis=1)
    weights = np.empty_like(most_first)
    np.put_along_axis(weights, order, most_first, axis=1)
    return weights


def weights_around(
    names: Sequence[str], weights: ArrayLike, kappa: float, draws: int, seed: int
) -> FloatArray:
    """Return weights around given ones, Dirichlet(kappa w): the larger kappa, the closer.

    Parameters
    ----------
    names
        Names of the k criteria, all different.
    weights
        (k,) weights w, divided by their sum first [any]. A criterion of weight 0 stays at 0.
    kappa
        How firmly they hold, above 0: as firmly as kappa points handed out to the criteria would say.
    draws, seed
        As in `free_weights`.

    Returns
    -------
    numpy.ndarray
        (draws, k), rows sum to 1; each column has the mean w and the spread of `weight_spread` [share].

    Raises
    ------
    ValueError
        As in `free_weights`, the lengths differ, kappa is not a finite number above 0, or no weight is above
        0.

    Notes
    -----
    What kappa means for a weight of 0.30 is where nine draws in ten lie: kappa 10 between 0.10 and 0.55
    (hardly more than an opinion), 30 between 0.17 and 0.44, 100 between 0.23 and 0.38, 300 between 0.26 and
    0.34 (firm). With equal weights and kappa = k the draws are those of no knowledge at all.
    Gamma variables are taken as logarithms, so that a small kappa x w cannot end in 0 / 0.

    References
    ----------
    Devroye, L. 1986. Non-Uniform Random Variate Generation, chapter XI: Dirichlet from gamma variables
    (from memory). Marsaglia, G. & Tsang, W. 2000: gamma of shape a from that of a + 1 (from memory).

    Examples
    --------
    >>> weights_around(["host", "climate"], [3, 1], 50, 100_000, 7).mean(axis=0).round(2).tolist()
    [0.75, 0.25]
    """
    _check(names, draws)
    given = normalise_weights(weights)
    _check_kappa(kappa)
    if len(given) != len(names):
        message = f"{len(names)} criteria have {len(given)} weights"
        raise ValueError(message)
    logs = np.full((draws, len(names)), -np.inf)
    for column, (name, weight) in enumerate(zip(names, given.tolist(), strict=True)):
        if weight > 0:
            shape = kappa * weight
            one_more = np.log(_stream(name, "gamma", seed).standard_gamma(shape + 1, draws))
            logs[:, column] = one_more - _stream(name, "power", seed).standard_exponential(draws) / shape
    return _shares(names, np.exp(logs - logs.max(axis=1, keepdims=True)))


def weight_spread(weights: ArrayLike, kappa: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return how far weights drawn with `weights_around` spread.

    Parameters
    ----------
    weights
        (k,) weights, divided by their sum first [any].
    kappa
        How firmly they hold, above 0.

    Returns
    -------
    tuple of numpy.ndarray
        (k,) standard deviation sqrt(w (1 - w) / (kappa + 1)), and the 5 % and 95 % points: nine draws in ten
        lie between them [share].

    References
    ----------
    The margin of Dirichlet(kappa w) is Beta(kappa w, kappa (1 - w)) (from memory).

    Examples
    --------
    >>> [part.round(2).tolist() for part in weight_spread([0.3, 0.7], 30)]
    [[0.08, 0.08], [0.17, 0.56], [0.44, 0.83]]
    """
    given = normalise_weights(weights)
    _check_kappa(kappa)
    deviation = np.sqrt(given * (1 - given) / (kappa + 1))
    least, most = given.copy(), given.copy()
    varies = (given > 0) & (given < 1)
    shapes = kappa * given[varies], kappa * (1 - given[varies])
    least[varies], most[varies] = betaincinv(*shapes, 0.05), betaincinv(*shapes, 0.95)
    return deviation, least, most


def kappa_for_spread(weight_share: float, spread_share: float) -> float:
    """Return the kappa with which a weight spreads by a stated standard deviation.

    Parameters
    ----------
    weight_share
        The weight, between 0 and 1 [share].
    spread_share
        Its standard deviation, above 0 and below sqrt(w (1 - w)) [share].

    Returns
    -------
    float
        w (1 - w) / s^2 - 1.

    Raises
    ------
    ValueError
        No kappa gives this spread.

    Examples
    --------
    0.3 x 0.7 / 0.1^2 - 1:

    >>> round(kappa_for_spread(0.3, 0.1), 9)
    20.0
    """
    most = weight_share * (1 - weight_share)
    if not (0 < weight_share < 1 and spread_share > 0 and spread_share**2 < most):
        message = f"a weight of {weight_share:g} cannot spread by {spread_share:g}"
        raise ValueError(message)
    return most / spread_share**2 - 1


def _stream(name: str, purpose: str, seed: int) -> np.random.Generator:
    """Return the random numbers of one criterion for one purpose."""
    digest = hashlib.sha256(f"{seed}\n{purpose}\n{name}".encode()).digest()
    return np.random.default_rng(int.from_bytes(digest[:16], "big"))


def _shares(names: Sequence[str], parts: FloatArray) -> FloatArray:
    """Return each row divided by its sum, added in the order of the names."""
    total = np.zeros(len(parts))
    for column in sorted(range(len(names)), key=names.__getitem__):
        total += parts[:, column]
    return np.asarray(parts / total[:, np.newaxis], dtype=np.float64)


def _check(names: Sequence[str], draws: int) -> None:
    if not names or len(set(names)) != len(names):
        message = f"criteria need names, each once: {', '.join(names) or 'there is none'}"
        raise ValueError(message)
    if draws < 1:
        message = f"{draws} draws of weights were asked for; at least 1 is needed"
        raise ValueError(message)


def _check_kappa(kappa: float) -> None:
    if not (np.isfinite(kappa) and kappa > 0):
        message = f"kappa is {kappa:g}; it must be a number above 0"
        raise ValueError(message)
