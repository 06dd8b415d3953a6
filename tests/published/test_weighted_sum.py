"""The score against pymcdm's weighted sum model."""

import numpy as np
import pytest
from pymcdm.methods import WSM

from geo_scout.formulas.combining import normalise_weights, rank_by_score, weighted_sum


@pytest.mark.parametrize("seed", range(5))
def test_random_matrices(seed):
    # pymcdm adds the same products in another order: a few units of the sixteenth digit.
    generator = np.random.default_rng(seed)
    values = generator.random((30, 3 + seed))
    weights = normalise_weights(generator.random(3 + seed))
    model = WSM(normalization_function=lambda column, cost: column)  # noqa: ARG005 - values are 0-1 already
    expected = model(values, weights, np.ones(3 + seed))
    scores = weighted_sum(values, weights)
    np.testing.assert_allclose(scores, expected, rtol=1e-13)
    np.testing.assert_array_equal(
        rank_by_score(scores, [f"site-{row:02d}" for row in range(30)]), model.rank(expected).astype(int)
    )


def test_by_hand():
    # 0.5 x 0.8 + 0.3 x 0.5 + 0.2 x 0 = 0.55 and 0.5 x 0.2 + 0.3 x 1 + 0.2 x 1 = 0.6; exact but for rounding.
    assert weighted_sum([[0.8, 0.5, 0.0], [0.2, 1.0, 1.0]], [0.5, 0.3, 0.2]) == pytest.approx(
        [0.55, 0.6], rel=1e-14
    )
