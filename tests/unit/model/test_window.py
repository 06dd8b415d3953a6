"""A window is four moments per site."""

import numpy as np
import pytest

from geo_scout.model.window import Window


@pytest.mark.parametrize("shape", [(3, 2), (4,), (5, 1)])
def test_another_number_of_moments_is_refused(shape):
    with pytest.raises(ValueError, match=r"\(4, sites\) is needed"):
        Window(np.zeros(shape), np.zeros(shape, dtype=bool))
