import numpy as np
import pytest

from geo_scout.formulas.draw_error import draws_needed, standard_error


def test_errors_by_hand():
    """(0.25 x 398 + 1) / 400 = 0.25125; sqrt(0.25125 x 0.74875 / 398) = 0.021741."""
    assert standard_error(0.25, 398) == pytest.approx(0.021741, abs=1e-6)


def test_never_seen_is_not_certain_and_missing_stays_missing():
    error = standard_error([0, 1, np.nan], 98)
    assert error[:2].tolist() == pytest.approx([np.sqrt(0.01 * 0.99 / 98)] * 2)
    assert np.isnan(error[2])


@pytest.mark.parametrize(
    ("error", "share", "draws"),
    [(0.05, 0.5, 100), (0.01, 0.5, 2_500), (0.01, 0.1, 900), (0.01, 0.0, 1), (0.3, 0.5, 3)],
)
def test_draws_that_a_stated_error_needs(error, share, draws):
    assert draws_needed(error, share) == draws


def test_that_many_draws_keep_the_error():
    for error in (0.05, 0.013, 0.005):
        draws = draws_needed(error)
        assert standard_error(0.5, draws) <= error < standard_error(0.5, draws - 1)


@pytest.mark.parametrize(("error", "share"), [(0, 0.5), (-0.1, 0.5), (np.nan, 0.5), (0.1, 1.5)])
def test_no_number_of_draws_is_enough(error, share):
    with pytest.raises(ValueError, match="no number of draws"):
        draws_needed(error, share)
