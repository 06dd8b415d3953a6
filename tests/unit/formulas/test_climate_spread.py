"""When a covariance is given, and when it is refused and why."""

import numpy as np
import pytest

from geo_scout.formulas.climate_match import distance_of_pairs
from geo_scout.formulas.climate_spread import condition_problem, interannual_spread, regional_spread
from geo_scout.model.climate_spread import SpreadRefusal, SpreadRule

NAMES = ("bio05", "bio06", "bio07", "bio12")
# all corners of a square, ten times: variances 40 / 39 and 160 / 39, no covariance
CORNERS = np.array([[1, 2], [1, -2], [-1, 2], [-1, -2.0]] * 10)


def cells(count=60, variables=4):
    generator = np.random.default_rng(5)
    return generator.normal(size=(count, variables)) @ generator.normal(size=(variables, variables))


def test_a_covariance_by_hand():
    spread = regional_spread(CORNERS, ("a", "b"))
    assert spread.covariance == pytest.approx(np.array([[40 / 39, 0], [0, 160 / 39]]))
    assert (spread.kind, spread.variables, spread.sample) == ("regional", ("a", "b"), 40)
    assert (spread.kept, spread.is_truncated) == (2, False)


@pytest.mark.parametrize(("count", "is_enough"), [(40, True), (39, False)])
def test_ten_cells_for_each_variable(count, is_enough):
    found = regional_spread(cells(count), NAMES)
    refusal = SpreadRefusal("regional", "too_few_cells", NAMES, 39, 40)
    assert (found.sample == 40) if is_enough else (found == refusal)


def test_cells_with_a_missing_value_are_not_counted():
    rows = cells(41)
    rows[3, 1], rows[8, 0] = np.nan, np.inf
    assert regional_spread(rows, NAMES).have == 39


@pytest.mark.parametrize(("count", "variables", "need"), [(19, 1, 20), (20, 2, 20), (29, 3, 30), (30, 3, 30)])
def test_twenty_years_or_ten_for_each_variable(count, variables, need):
    found = interannual_spread(cells(count, variables), np.arange(count) + 1990, NAMES[:variables])
    if count < need:
        assert found == SpreadRefusal("interannual", "too_few_years", NAMES[:variables], count, need)
    else:
        assert (found.kind, found.sample) == ("interannual", count)


def test_one_year_told_twice_is_one_year():
    years = np.r_[np.arange(1990, 2009), 1990]
    assert interannual_spread(cells(20, 1), years, NAMES[:1]).have == 19


def test_a_trend_is_no_variability():
    """Up and down by 1 around a line: the square sum of 20 years is 20 less what the line takes, over 18."""
    years = np.arange(2000, 2020)
    wobble = np.where(years % 2 == 0, 1.0, -1.0)
    plain, rising = (
        interannual_spread((wobble + trend * years)[:, None], years, ["bio01"]) for trend in (0.0, 0.3)
    )
    # slope of the wobble: sum of (t - 9.5) (+-1) = -10, over 665: takes 100 / 665 off 20
    assert plain.covariance[0, 0] == pytest.approx((20 - 100 / 665) / 18)
    assert rising.covariance[0, 0] == pytest.approx(plain.covariance[0, 0], rel=1e-9)


def test_years_may_have_gaps_and_any_order():
    years = np.r_[1980:1995, 2000:2010]
    weather = cells(25, 2)
    mixed = np.random.default_rng(1).permutation(25)
    one, other = (interannual_spread(weather[i], years[i], NAMES[:2]) for i in (slice(None), mixed))
    assert one.covariance == pytest.approx(other.covariance, rel=1e-12)


def test_an_exact_combination_is_named_without_the_innocent():
    rows = cells()
    rows[:, 2] = rows[:, 0] - rows[:, 1]
    expected = SpreadRefusal("regional", "exact_combination", ("bio05", "bio06", "bio07"), 60, 40)
    assert regional_spread(rows, NAMES) == expected
    yearly = interannual_spread(rows, np.arange(60) + 1960, NAMES)
    assert (yearly.reason, yearly.variables) == ("exact_combination", ("bio05", "bio06", "bio07"))


def test_a_combination_stored_in_single_precision_is_still_one():
    rows = (cells() + 20).astype(np.float32)
    rows[:, 2] = rows[:, 0] - rows[:, 1]
    assert regional_spread(rows, NAMES).variables == ("bio05", "bio06", "bio07")


@pytest.mark.parametrize("constant", [0.0, 10.1, 1e6 / 3])
def test_a_variable_that_never_varies_is_named(constant):
    rows = cells()
    rows[:, 3] = constant
    assert regional_spread(rows, NAMES) == SpreadRefusal("regional", "no_spread", ("bio12",), 60, 40)
    line = interannual_spread(
        np.column_stack([rows[:, 0], constant + 0.1 * np.arange(60)]), np.arange(60) + 1960, NAMES[:2]
    )
    assert (line.reason, line.variables) == ("no_spread", ("bio06",))


def test_nearly_singular_is_cut_and_said():
    """Two variables that differ by a thousandth of what they vary: one component is left out of three."""
    rows = cells(200, 3)
    rows[:, 1] = rows[:, 0] / rows[:, 0].std() + 1e-3 * rows[:, 1] / rows[:, 1].std()
    cut = regional_spread(rows, NAMES[:3])
    assert (cut.kept, cut.is_truncated, cut.whitening.shape) == (2, True, (3, 2))
    whole = regional_spread(rows, NAMES[:3], SpreadRule(least_component_sd=0.0))
    assert (whole.kept, whole.is_truncated) == (3, False)
    # NumPy's own pseudo-inverse of the correlations, which drops what is below a share of the largest
    correlation, deviation = np.corrcoef(rows, rowvar=False), rows.std(axis=0, ddof=1)
    differences = rows[:20] - rows[20:40]
    for spread, least in ((cut, 1e-4), (whole, 0.0)):
        inverse = np.linalg.pinv(correlation, rcond=least) / deviation[:, None] / deviation
        square = np.einsum("ij,jk,ik->i", differences, inverse, differences)
        assert distance_of_pairs(differences, spread) == pytest.approx(np.sqrt(square), rel=1e-6)
    across = np.array([deviation[0], -deviation[1], 0.0])
    assert distance_of_pairs(across, cut) < 0.1
    assert distance_of_pairs(across, whole) > 500


def test_whitened_cells_have_unit_covariance():
    rows = cells(300)
    spread = regional_spread(rows, NAMES)
    assert np.cov(rows @ spread.whitening, rowvar=False) == pytest.approx(np.eye(4), abs=1e-9)


def test_the_variables_of_a_combination_are_found_in_a_covariance():
    generator = np.random.default_rng(1)
    highest, lowest, rain = generator.normal(size=(3, 200))
    cells = np.column_stack([highest, rain * 400, lowest * 3, highest - lowest * 3])
    names = ["bio05", "bio12", "bio06", "bio07"]
    assert condition_problem(np.cov(cells, rowvar=False), names) == ("bio05", "bio06", "bio07")
    assert condition_problem(np.cov(cells[:, :3], rowvar=False), names[:3]) == ()


def test_units_do_not_make_a_problem():
    assert condition_problem(np.diag([1e-12, 1.0, 1e12]), ["a", "b", "c"]) == ()


def test_variables_without_spread_are_named():
    assert condition_problem([[1.0, 0.0], [0.0, 0.0]], ["a", "b"]) == ("b",)
    assert condition_problem(np.full((2, 2), np.nan), ["a", "b"]) == ("a", "b")


def test_two_separate_combinations_are_both_named():
    generator = np.random.default_rng(2)
    first, second, third = generator.normal(size=(3, 100))
    cells = np.column_stack([first, 2 * first, second, -second, third])
    assert condition_problem(np.cov(cells, rowvar=False), ["a", "b", "c", "d", "e"]) == ("a", "b", "c", "d")


def test_no_variables_are_no_problem():
    assert condition_problem(np.zeros((0, 0)), []) == ()
