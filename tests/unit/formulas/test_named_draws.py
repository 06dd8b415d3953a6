import numpy as np
import pytest
from scipy.special import ndtri

from geo_scout.formulas.named_draws import mixed_positions, name_keys, triangular_at, uniform_draws


def draw(names=("A-1", "A-2"), purpose="survey", seed=1, first=0, last=20_000):
    return uniform_draws(name_keys(names, purpose, seed), first, last)


def test_they_are_uniform_and_streams_do_not_go_together():
    drawn = draw([f"A-{n}" for n in range(6)])
    assert 0 < drawn.min() < drawn.max() < 1
    # Mean and deciles of 20,000 to within five standard errors of at most 0.0035.
    np.testing.assert_allclose(drawn.mean(axis=0), 0.5, atol=0.0102)
    np.testing.assert_allclose(np.quantile(drawn, [0.1, 0.5, 0.9]), [0.1, 0.5, 0.9], atol=0.01)
    apart = np.corrcoef(drawn.T)[np.triu_indices(6, 1)]
    assert np.abs(apart).max() < 5 / np.sqrt(20_000)
    lagged = np.corrcoef(drawn[1:, 0], drawn[:-1, 0])[0, 1]
    assert abs(lagged) < 5 / np.sqrt(20_000)


def test_a_number_hangs_on_its_name_purpose_seed_and_draw_alone():
    whole = draw()
    assert (draw(first=700, last=900) == whole[700:900]).all()
    assert (draw(("A-2", "A-1")) == whole[:, ::-1]).all()
    for other in (draw(purpose="cover"), draw(seed=2), draw(("A-3", "A-4"))):
        assert not (other == whole).any()


def test_half_of_the_variance_shared_is_a_correlation_of_half():
    shared, own = draw(("daubenmire",)), draw(("A-1", "A-2"), "own")
    position = mixed_positions(shared, own, 0.5)
    np.testing.assert_allclose(np.quantile(position, [0.05, 0.5, 0.95]), [0.05, 0.5, 0.95], atol=0.01)
    assert np.corrcoef(ndtri(position).T)[0, 1] == pytest.approx(0.5, abs=0.03)


def test_all_shared_or_all_their_own():
    shared, own = np.array([[0.2], [0.7]]), np.array([[0.9, 0.4], [0.1, 0.6]])
    np.testing.assert_allclose(mixed_positions(shared, own, 1.0), [[0.2, 0.2], [0.7, 0.7]])
    np.testing.assert_allclose(mixed_positions(shared, own, 0.0), own)
    two = np.array([[0.2, 0.3]])
    np.testing.assert_allclose(mixed_positions(two, own[:1], 1.0, [1, 0]), [[0.3, 0.2]])
    with pytest.raises(ValueError, match=r"a shared share of 1\.5 is outside 0 to 1"):
        mixed_positions(shared, own, 1.5)


def test_the_triangular_law_by_hand():
    """Low 0, best 1, high 4: F(1) = 1 / 4; F(x) = 1 - (4 - x)^2 / 12 above, x^2 / 4 below."""
    np.testing.assert_allclose(triangular_at([0.0, 0.0625, 0.25, 2 / 3, 1.0], 0, 1, 4), [0, 0.5, 1, 2, 4])
    assert triangular_at([0.3], 2, 2, 2).tolist() == [2.0]
    assert np.isnan(triangular_at([0.3], np.nan, np.nan, 1)).all()
    assert triangular_at([0.25, 0.75], 0, np.nan, 8).tolist() == [2.0, 6.0]


def test_draws_have_the_mean_of_the_law():
    drawn = triangular_at(draw(("A-1",)), 0, 1, 5)
    assert drawn.mean() == pytest.approx(2.0, abs=0.04)
