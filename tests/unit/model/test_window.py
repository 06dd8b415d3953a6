"""A window is four moments per site."""

import numpy as np
import pytest

from geo_scout.model.window import Window


def test_moments_go_by_name():
    window = Window("calendar", np.arange(8.0).reshape(4, 2), np.full((4, 2), True))
    named = [window.scout_day, window.opens_day, window.peaks_day, window.closes_day]
    assert [one.tolist() for one in named] == [[0, 1], [2, 3], [4, 5], [6, 7]]


@pytest.mark.parametrize("shape", [(3, 2), (4,), (5, 1)])
def test_another_number_of_moments_is_refused(shape):
    with pytest.raises(ValueError, match=r"\(4, sites\) is needed"):
        Window("calendar", np.zeros(shape), np.zeros(shape, dtype=bool))
