"""Random numbers that hang on a name and the number of the draw alone, and laws to read them by."""

import hashlib
from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

FloatArray = NDArray[np.float64]
KeyArray = NDArray[np.uint64]

_STEP = np.uint64(0x9E3779B97F4A7C15)
_FIRST_FACTOR, _SECOND_FACTOR = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)


def name_keys(names: Iterable[str], purpose: str, seed: int) -> KeyArray:
    """Return the key of each name's own stream of random numbers.

    Parameters
    ----------
    names
        (n,) names, such as site ids or causes.
    purpose
        What the numbers are for: another purpose is another stream.
    seed
        The same seed gives the same keys.

    Returns
    -------
    numpy.ndarray
        (n,) 64 bits of the BLAKE2b digest of seed, purpose and name.
    """
    start = hashlib.blake2b(f"{seed}\n{purpose}\n".encode(), digest_size=8)
    keys = []
    for name in names:
        own = start.copy()
        own.update(name.encode())
        keys.append(int.from_bytes(own.digest(), "little"))
    return np.array(keys, dtype=np.uint64)


def uniform_draws(keys: KeyArray, first: int, last: int) -> FloatArray:
    """Return numbers between 0 and 1 for some draws of each stream.

    Parameters
    ----------
    keys
        (n,) from `name_keys`.
    first, last
        Draws ``first`` to ``last - 1``.

    Returns
    -------
    numpy.ndarray
        (last - first, n), above 0 and below 1. A number hangs on its key and its draw alone: neither on the
        other sites nor on how the draws are cut into pieces.

    References
    ----------
    Steele, G. L., Lea, D. & Flood, C. H. 2014. Fast splittable pseudorandom number generators. OOPSLA:
    453-472, the mixing function (from memory).

    Examples
    --------
    >>> keys = name_keys(["A-1", "A-2"], "survey", 1)
    >>> whole, later = uniform_draws(keys, 0, 4), uniform_draws(keys[::-1], 2, 4)
    >>> bool((whole[2:] == later[:, ::-1]).all())
    True
    """
    draws = np.arange(first + 1, last + 1, dtype=np.uint64)
    state = np.asarray(keys, dtype=np.uint64)[np.newaxis, :] + (draws * _STEP)[:, np.newaxis]
    for shift, factor in ((np.uint64(30), _FIRST_FACTOR), (np.uint64(27), _SECOND_FACTOR)):
        state ^= state >> shift
        state *= factor
    state ^= state >> np.uint64(31)
    # The upper 52 bits, in the middle of their step: neither 0 nor 1 can come out.
    return np.asarray(((state >> np.uint64(12)).astype(np.float64) + 0.5) * 2.0**-52, dtype=np.float64)


def mixed_positions(
    shared: ArrayLike, own: ArrayLike, shared_share: float, cause: ArrayLike | None = None
) -> FloatArray:
    """Return where in its range each site stands, when part of the error is shared by all of them.

    Parameters
    ----------
    shared, own
        Uniform numbers between 0 and 1: of the shared causes, (draws, causes), and of each site itself,
        (draws, n); broadcast where no cause is stated.
    shared_share
        Share of the variance that is shared, 0 to 1 [share].
    cause
        (n,) column of ``shared`` that each site has its part from.

    Returns
    -------
    numpy.ndarray
        Positions, uniform between 0 and 1 whatever the share. Two sites with the same cause have normal
        scores whose correlation is ``shared_share``.

    Raises
    ------
    ValueError
        The share is outside 0-1.

    References
    ----------
    Nelsen, R. B. 2006. An Introduction to Copulas. Springer: the Gaussian copula (from memory).

    Examples
    --------
    >>> mixed_positions([0.2], [0.9], 1.0).round(6).tolist(), mixed_positions([0.5], [0.5], 0.3).tolist()
    ([0.2], [0.5])
    """
    if not 0 <= shared_share <= 1:
        message = f"a shared share of {shared_share:g} is outside 0 to 1"
        raise ValueError(message)
    common = np.sqrt(shared_share) * ndtri(np.asarray(shared, dtype=np.float64))
    alone = np.sqrt(1 - shared_share) * ndtri(np.asarray(own, dtype=np.float64))
    score = alone + (common if cause is None else common[..., np.asarray(cause, dtype=np.intp)])
    return np.asarray(ndtr(score), dtype=np.float64)


def triangular_at(position: ArrayLike, low: ArrayLike, best: ArrayLike, high: ArrayLike) -> FloatArray:
    """Return the quantity that stands at a position of its range: its triangular law read backwards.

    Parameters
    ----------
    position
        Share of the law below, 0 to 1, any shape.
    low, best, high
        Ends and peak of the law, broadcast; where ``best`` is nan every value between the ends is as likely
        as any other [unit of the quantity].

    Returns
    -------
    numpy.ndarray
        Between ``low`` and ``high``, rising with the position; ``best`` itself where the range has no width;
        nan where an end is nan [unit of the quantity].

    Notes
    -----
    With a lopsided range the middle of the law is not ``best``, which is its most likely value.

    References
    ----------
    Johnson, D. 1997. The triangular distribution as a proxy for the beta distribution in risk analysis. The
    Statistician 46: 387-398 (from memory).

    Examples
    --------
    >>> triangular_at([0.0, 0.125, 0.5, 1.0], 0.0, 2.0, 4.0).tolist()
    [0.0, 1.0, 2.0, 4.0]
    >>> triangular_at([0.25], 0.0, np.nan, 4.0).tolist()
    [1.0]
    """
    place = np.asarray(position, dtype=np.float64)
    least, most = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    peak, width = np.asarray(best, dtype=np.float64), most - least
    rising, falling = peak - least, most - peak
    with np.errstate(invalid="ignore"):
        up = least + np.sqrt(np.maximum(place * width * rising, 0.0))
        down = most - np.sqrt(np.maximum((1 - place) * width * falling, 0.0))
        peaked = np.where(place * width < rising, up, down)
    drawn = np.where(np.isnan(peak), least + place * width, peaked)
    return np.asarray(np.where(width > 0, drawn, np.where(np.isnan(peak), least, peak)), dtype=np.float64)
