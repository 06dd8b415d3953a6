"""Shares of ranks: they sum as they must, and neither the order of the sites nor that of the criteria matters."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

import geo_scout.formulas.rank_draws as drawing
from geo_scout.formulas.rank_acceptability import (
    beats_next,
    followed_intervals,
    leader_intervals,
    rank_shares,
    top_share,
)
from geo_scout.formulas.rank_draws import rank_draws
from geo_scout.formulas.weight_draws import free_weights, ordered_weights, weights_around

UNTIMED = settings(deadline=None, max_examples=30)  # the machine may be busy
NAMES = ("host", "climate", "access")
DRAWS = 24
# Steps of a quarter make many ties; the fine ones differ by less than a millionth and by more.
VALUE = st.one_of(
    st.integers(0, 4).map(lambda n: n / 4), st.integers(0, 20).map(lambda n: 0.5 + n * 3e-7), st.floats(0, 1)
)
values_of_sites = st.integers(1, 9).flatmap(lambda n: arrays(np.float64, (n, len(NAMES)), elements=VALUE))


def weights_of(kind, names=NAMES):
    if kind == "free":
        return free_weights(names, DRAWS, 3)
    if kind == "ordered":
        return ordered_weights(names, [NAMES.index(name) + 1 for name in names], DRAWS, 3)
    return weights_around(names, [3 - NAMES.index(name) for name in names], 10, DRAWS, 3)


@pytest.fixture(params=["sorting", "classes"], autouse=True, scope="module")
def way(request):
    """Take both ways: few sites are sorted, and many are found by classes of score."""
    with pytest.MonkeyPatch.context() as patch:
        if request.param == "classes":
            patch.setattr(drawing, "SORTED_WHOLE", 0)
        yield request.param


@UNTIMED
@given(values_of_sites, st.sampled_from(["free", "ordered", "around"]))
def test_rows_and_columns_sum_to_one_where_all_may_be_used(values, kind):
    shares = rank_shares(rank_draws(values, weights_of(kind)), np.arange(len(values)))
    np.testing.assert_allclose(shares.sum(axis=0), 1, rtol=0, atol=1e-12)
    np.testing.assert_allclose(shares.sum(axis=1), 1, rtol=0, atol=1e-12)


@UNTIMED
@given(values_of_sites, st.integers(0, 2**32 - 1))
def test_rows_and_columns_sum_to_who_may_be_used(values, seed):
    eligible = np.random.default_rng(seed).random((DRAWS, len(values))) < 0.6
    found = rank_draws(values, weights_of("free"), eligible=lambda first, last: eligible[first:last])
    shares = rank_shares(found, np.arange(len(values)))
    np.testing.assert_allclose(shares.sum(axis=1), eligible.mean(axis=0), rtol=0, atol=1e-12)
    at_least = (eligible.sum(axis=1)[:, None] >= np.arange(1, len(values) + 1)).mean(axis=0)
    np.testing.assert_allclose(shares.sum(axis=0), at_least, rtol=0, atol=1e-12)


@UNTIMED
@given(values_of_sites, st.data())
def test_the_order_of_the_sites_changes_nothing(values, data):
    sites = len(values)
    order = np.array(data.draw(st.permutations(range(sites))))
    one = rank_draws(values, weights_of("around"), followed=np.arange(sites), tie_order=np.arange(sites))
    other = rank_draws(values[order], weights_of("around"), followed=np.argsort(order), tie_order=order)
    assert (order[other.leaders] == one.leaders).all()
    assert (other.followed_rank == one.followed_rank).all()


@UNTIMED
@given(
    arrays(np.float64, (6, 3), elements=st.integers(0, 2**20).map(lambda n: n / 2**20)),
    st.permutations(range(3)),
)
def test_the_order_of_the_criteria_changes_nothing(values, order):
    """Values are spread here: a score within 1e-16 of half a millionth may fall either way when summed in another order."""
    for kind in ("free", "ordered", "around"):
        one = rank_draws(values, weights_of(kind))
        other = rank_draws(values[:, order], weights_of(kind, [NAMES[n] for n in order]))
        assert (one.leaders == other.leaders).all()


@UNTIMED
@given(values_of_sites, st.integers(1, 9))
def test_counting_fewer_ranks_changes_none_of_them(values, deepest):
    sites = np.arange(len(values))
    whole = rank_draws(values, weights_of("free"), followed=sites)
    part = rank_draws(values, weights_of("free"), deepest=deepest, followed=sites)
    tops = range(1, min(deepest, len(values)) + 1)
    assert (top_share(whole, tops) == top_share(part, tops)).all()
    assert (whole.followed_rank == part.followed_rank).all()
    spans, own = leader_intervals(part), followed_intervals(part)
    beyond = part.leaders.shape[1] + 1
    for name in ("least", "low", "high", "greatest"):
        ends = np.minimum(getattr(own, name)[spans.rows], beyond)
        assert (getattr(spans, name) == ends).all()


@UNTIMED
@given(values_of_sites, st.data())
def test_better_on_everything_is_always_before(values, data):
    sites = len(values)
    lower = values * data.draw(st.floats(0, 0.9))
    found = rank_draws(np.r_[values, lower], weights_of("free"), followed=np.arange(2 * sites))
    assert (found.followed_rank[:, :sites] < found.followed_rank[:, sites:]).all()
    if sites == 1:
        assert beats_next(found)[0].tolist() == [1]
