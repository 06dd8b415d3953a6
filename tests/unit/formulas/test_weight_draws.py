import numpy as np
import pytest

from geo_scout.formulas.weight_draws import (
    free_weights,
    kappa_for_spread,
    ordered_weights,
    weight_spread,
    weights_around,
)

NAMES = ["host", "climate", "access"]
TURNED = [2, 0, 1]


def drawn(names, order=(0, 1, 2), seed=5, draws=50):
    """Return draws of all three kinds for the criteria in some order."""
    weights, places = np.array([0.5, 0.3, 0.2])[list(order)], np.array([1, 3, 2])[list(order)]
    return [
        free_weights(names, draws, seed),
        ordered_weights(names, places, draws, seed),
        weights_around(names, weights, 20, draws, seed),
    ]


def test_the_order_of_the_criteria_changes_no_bit():
    for one, other in zip(drawn(NAMES), drawn([NAMES[n] for n in TURNED], TURNED), strict=True):
        np.testing.assert_array_equal(one[:, TURNED], other)


def test_a_seed_draws_the_same_again_and_another_something_else():
    for one, same, other in zip(drawn(NAMES), drawn(NAMES), drawn(NAMES, seed=6), strict=True):
        np.testing.assert_array_equal(one, same)
        assert (one != other).all(axis=1).all()


def test_more_draws_go_on_where_fewer_ended():
    for few, many in zip(drawn(NAMES, draws=50), drawn(NAMES, draws=80), strict=True):
        np.testing.assert_array_equal(few, many[:50])


def test_rows_are_shares():
    for weights in drawn(NAMES, draws=5_000):
        assert (weights >= 0).all()
        np.testing.assert_allclose(weights.sum(axis=1), 1, rtol=0, atol=1e-12)


def test_ordered_weights_keep_the_order():
    weights = ordered_weights(NAMES, [1, 3, 2], 5_000, 1)
    assert (weights[:, 0] >= weights[:, 2]).all()
    assert (weights[:, 2] >= weights[:, 1]).all()


def test_a_weight_of_nothing_stays_nothing():
    assert (weights_around(NAMES, [3, 0, 1], 5, 1_000, 1)[:, 1] == 0).all()
    _, low, high = weight_spread([1, 0], 5)
    assert low.tolist() == high.tolist() == [1, 0]


def test_a_loose_hold_ends_in_one_criterion_and_never_in_nan():
    weights = weights_around(NAMES, [0.5, 0.3, 0.2], 1e-3, 2_000, 1)
    assert np.isfinite(weights).all()
    assert (weights.max(axis=1) > 0.999).mean() > 0.98


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: free_weights([], 5, 1), "there is none"),
        (lambda: free_weights(["a", "a"], 5, 1), "each once: a, a"),
        (lambda: free_weights(["a"], 0, 1), "at least 1 is needed"),
        (lambda: ordered_weights(["a", "b"], [1], 5, 1), "2 criteria have 1 places"),
        (lambda: weights_around(["a", "b"], [1], 5, 5, 1), "2 criteria have 1 weights"),
        (lambda: weights_around(["a"], [1], 0, 5, 1), "kappa is 0"),
        (lambda: weight_spread([1], np.nan), "kappa is nan"),
        (lambda: kappa_for_spread(0.3, 0.5), "0.3 cannot spread by 0.5"),
        (lambda: kappa_for_spread(0.3, -0.1), "cannot spread by -0.1"),
    ],
)
def test_what_makes_no_sense_is_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
