"""Scores turned into chances, against closed forms and a general optimiser."""

import numpy as np
import pytest
from scipy.optimize import minimize

from geo_scout.formulas.calibrated_chance import fit_chance


@pytest.mark.parametrize("cells", [(3, 1, 1, 3), (4, 0, 0, 4), (10, 2, 5, 5), (1, 0, 7, 3)])
def test_two_scores_are_a_table_with_half_a_case_more_in_each_cell(cells):
    """Firth 1993: for a 2 x 2 table Jeffreys' prior adds half a case to each cell (from memory)."""
    low_failed, low_took, high_failed, high_took = cells
    score = np.repeat([2.0, 5.0], [low_failed + low_took, high_failed + high_took])
    outcome = np.repeat([False, True, False, True], cells)
    told = fit_chance(score, outcome).chance([2.0, 5.0])
    low, high = (
        (low_took + 0.5) / (low_failed + low_took + 1),
        (high_took + 0.5) / (high_failed + high_took + 1),
    )
    # Newton steps end where they are shorter than 1e-10.
    assert told == pytest.approx([low, high], abs=1e-7)


@pytest.mark.parametrize("seed", range(4))
def test_against_a_general_optimiser_on_drawn_scores(seed):
    lot = np.random.default_rng(seed)
    score = lot.normal(5, 2, 25)
    outcome = lot.uniform(size=25) < 1 / (1 + np.exp(-(score - 5)))
    if seed == 3:
        outcome = score > 5  # wholly parted: a plain logistic curve would be endlessly steep
    design = np.column_stack([np.ones(25), score])

    def depth(at):
        line = design @ at
        spread = 1 / (2 + np.exp(line) + np.exp(-line))
        information = design.T @ (design * spread[:, np.newaxis])
        unlikely = np.log1p(np.exp(np.where(outcome, -line, line))).sum()
        return unlikely - 0.5 * np.log(np.linalg.det(information))

    best = minimize(depth, np.zeros(2), method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12}).x
    curve = fit_chance(score, outcome)
    assert (curve.intercept, curve.slope) == pytest.approx(tuple(best), abs=1e-5)


def test_units_and_order_of_the_score_do_not_matter():
    lot = np.random.default_rng(8)
    score, outcome = lot.uniform(size=30), lot.uniform(size=30) < 0.4
    told = fit_chance(score, outcome).chance(score)
    assert fit_chance(1000 * score - 7, outcome).chance(1000 * score - 7) == pytest.approx(told, abs=1e-8)
    assert fit_chance(-score, outcome).chance(-score) == pytest.approx(told, abs=1e-8)
    assert fit_chance(score[::-1], outcome[::-1]).chance(score) == pytest.approx(told, abs=1e-8)


@pytest.mark.parametrize(
    ("score", "outcome", "share"), [([1, 1, 1], [1, 0, 0], 1.5 / 4), ([1, 2, 3], [1, 1, 1], 3.5 / 4)]
)
def test_what_cannot_be_told_apart_gets_the_share(score, outcome, share):
    assert fit_chance(score, outcome).chance([0.0, 9.0]) == pytest.approx([share, share])


@pytest.mark.parametrize(("score", "outcome"), [([], []), ([1.0, np.nan], [1, 0]), ([1.0], [1, 0])])
def test_what_makes_no_curve_is_refused(score, outcome):
    with pytest.raises(ValueError, match="a curve needs one known score for each outcome"):
        fit_chance(score, outcome)
