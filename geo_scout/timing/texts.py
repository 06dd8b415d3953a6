"""Remarks on many places, put together."""

import numpy as np

from geo_scout.model.site_windows import Texts


def joined(*parts: Texts) -> Texts:
    """Return the texts of each place with semicolons between, empty ones left out.

    >>> first, second = np.array(["late", ""], object), np.array(["far", "far"], object)
    >>> joined(first, second).tolist()
    ['late; far', 'far']
    """
    texts = ["; ".join(one for one in of_place if one) for of_place in zip(*parts, strict=True)]
    return np.array(texts, dtype=object)
