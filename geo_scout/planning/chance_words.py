"""A chance in the words people bet with."""

import numpy as np
from numpy.typing import NDArray

_WORDS: tuple[tuple[float, str], ...] = (
    (0.1, "one chance in ten"),
    (0.2, "two chances in ten"),
    (0.3, "three chances in ten"),
    (1 / 3, "one chance in three"),
    (0.4, "four chances in ten"),
    (0.5, "even chances"),
    (0.6, "six chances in ten"),
    (2 / 3, "two chances in three"),
    (0.7, "seven chances in ten"),
    (0.8, "eight chances in ten"),
    (0.9, "nine chances in ten"),
)
HARDLY_SHARE, NEARLY_SHARE = 0.05, 0.95
"""Below and above these a chance is nearer to none and to certain than to a tenth [share]."""


def chance_words(share: NDArray[np.float64]) -> NDArray[np.object_]:
    """Return chances in words, the nearest of tenths, thirds and even.

    Parameters
    ----------
    share
        (n,) chances; nan reads "an unknown chance" [share].

    Examples
    --------
    >>> chance_words(np.array([0.02, 0.13, 0.345, 0.52, 0.68, 0.97, 1.0])).tolist()
    ... # doctest: +NORMALIZE_WHITESPACE
    ['less than one chance in twenty', 'one chance in ten', 'one chance in three', 'even chances',
     'two chances in three', 'more than nineteen chances in twenty', 'no doubt']
    """
    steps = np.array([step for step, _ in _WORDS])
    words = np.array([word for _, word in _WORDS], dtype=object)
    middles = (steps[1:] + steps[:-1]) / 2
    told = words[np.searchsorted(middles, np.nan_to_num(share))]
    told[share < HARDLY_SHARE] = "less than one chance in twenty"
    told[share > NEARLY_SHARE] = "more than nineteen chances in twenty"
    told[share <= 0] = "no chance"
    told[share >= 1] = "no doubt"
    told[np.isnan(share)] = "an unknown chance"
    return told
