"""How far a share counted in draws may be from the true one, and how many draws a stated error needs."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def standard_error(share: ArrayLike, draws: ArrayLike) -> FloatArray:
    """Return the standard error of a share of independent draws.

    Parameters
    ----------
    share
        Share of the draws in which something is so, any shape [share].
    draws
        Number of draws, broadcast to it.

    Returns
    -------
    numpy.ndarray
        sqrt(p (1 - p) / D), with p = (share x D + 1) / (D + 2), so that what none or all of the draws show is
        not called certain; nan where the share is [share].

    Notes
    -----
    The binomial error. It is about the number of draws only: it says nothing of whether spreads of weights
    and data were chosen well.

    References
    ----------
    Laplace's rule of succession (common practice).

    Examples
    --------
    Half of 10,000 draws; none of 10,000:

    >>> standard_error([0.5, 0.0], 10_000).round(5).tolist()
    [0.005, 0.0001]
    """
    seen, number = np.asarray(share, dtype=np.float64), np.asarray(draws, dtype=np.float64)
    middle = (seen * number + 1) / (number + 2)
    return np.asarray(np.sqrt(middle * (1 - middle) / number), dtype=np.float64)


def draws_needed(error_share: float, expected_share: float = 0.5) -> int:
    """Return how many draws give a share to within a stated standard error.

    Parameters
    ----------
    error_share
        Standard error wanted, above 0 [share].
    expected_share
        The share expected; one half needs the most draws, and so is enough for every share [share].

    Returns
    -------
    int
        The least D with sqrt(p (1 - p) / D) at or below the error; at least 1.

    Raises
    ------
    ValueError
        The error is not above 0, or the share outside 0-1.

    References
    ----------
    Tervonen, T. & Lahdelma, R. 2007. Implementing SMAA. European Journal of Operational Research 178:
    500-513: draws for a stated error (from memory).

    Examples
    --------
    0.25 / 0.005^2:

    >>> draws_needed(0.005)
    10000
    """
    if not (error_share > 0 and 0 <= expected_share <= 1):
        message = f"no number of draws gives a share of {expected_share:g} to within {error_share:g}"
        raise ValueError(message)
    needed = expected_share * (1 - expected_share) / error_share**2
    # Rounding must not ask for one draw more.
    return max(1, math.ceil(needed * (1 - 1e-12)))
