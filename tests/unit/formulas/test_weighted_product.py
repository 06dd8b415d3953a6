"""The weighted product."""

import numpy as np
import pytest

from geo_scout.formulas.weighted_product import weighted_product


def test_by_hand():
    # 0.25^0.5 x 1^0.5 = 0.5; 0.04^0.5 x 0.25^0.5 = 0.1
    assert weighted_product([[0.25, 1.0], [0.04, 0.25]], [0.5, 0.5]) == pytest.approx([0.5, 0.1])


def test_one_zero_is_a_veto_and_a_weight_of_zero_is_none():
    assert weighted_product([[0.0, 1.0, 1.0]], [0.1, 0.4, 0.5]).tolist() == [0.0]
    assert weighted_product([[0.0, 1.0], [np.nan, 1.0]], [0.0, 1.0]).tolist() == [1.0, 1.0]


def test_missing():
    scores = weighted_product([[np.nan, 1.0], [0.5, 0.5]], [0.5, 0.5])
    assert np.isnan(scores[0])
    assert scores[1] == pytest.approx(0.5)


def test_what_does_not_go_together_is_refused():
    with pytest.raises(ValueError, match=r"shape \(1, 2\) do not go with weights of shape \(3,\)"):
        weighted_product([[1.0, 1.0]], [0.2, 0.3, 0.5])
    with pytest.raises(ValueError, match="0 or more"):
        weighted_product([[-0.1, 1.0]], [0.5, 0.5])
