import numpy as np
import pytest

from geo_scout.formulas.ranking_skill import area_under_curve, brier_score, calibration_table


def test_pairs_counted_by_hand():
    """Successes 3, 2; failures 2, 1, 0: of six pairs five are in order and one is equal."""
    found = area_under_curve([3, 2, 2, 1, 0], [1, 1, 0, 0, 0])
    assert found.area == pytest.approx(5.5 / 6)
    # Placements 1 and 5/6 of the successes, 3/4, 1 and 1 of the failures: (1/72) / 2 + (1/48) / 3.
    assert found.standard_error == pytest.approx(np.sqrt(1 / 144 + 1 / 144))
    assert (found.successes, found.failures) == (2, 3)


def test_a_score_turned_round_turns_the_area_round():
    one = area_under_curve([3, 2, 2, 1, 0], [1, 1, 0, 0, 0])
    other = area_under_curve([-3, -2, -2, -1, 0], [1, 1, 0, 0, 0])
    assert (other.area, other.low, other.high) == pytest.approx((1 - one.area, 1 - one.high, 1 - one.low))


def test_a_few_in_perfect_order_prove_little():
    """Three above three: the area is 1, and 0.5 is still not far outside.

    Method 5 at area 1 with m = n = 3, N = 2: low solves (1 - t)^2 = 3.8415 t (1 - t) (1 + 2 (1-t)/(2-t) + 2 t/(1+t)) / 9.
    At t = 0.5263: 0.22439 on the left; on the right 3.8415 x 0.24931 x (1 + 0.64288 + 0.68963) / 9 = 0.24821; at 0.5 they
    are 0.25 and 3.8415 x 0.25 x 2.33333 / 9 = 0.24899. So it lies just above 0.5.
    """
    found = area_under_curve([6, 5, 4, 3, 2, 1], [1, 1, 1, 0, 0, 0])
    assert found.area == 1
    assert found.high == 1
    assert 0.5 < found.low < 0.5263
    assert found.standard_error == 0


def test_nothing_can_be_said_of_one_kind_alone():
    for outcome, counts in (([1, 1], (2, 0)), ([0, 0], (0, 2))):
        found = area_under_curve([1, 2], outcome)
        assert np.isnan([found.area, found.standard_error, found.low, found.high]).all()
        assert (found.successes, found.failures) == counts
    empty = area_under_curve([], [])
    assert np.isnan(empty.area)


def test_one_of_a_kind_has_an_interval_but_no_error():
    found = area_under_curve([1, 2, 3], [0, 1, 1])
    assert np.isnan(found.standard_error)
    assert 0 < found.low < 0.5 < found.high == 1


def test_equal_scores_all_round_say_nothing():
    found = area_under_curve(np.ones(10), [1, 0] * 5)
    assert found.area == 0.5
    assert found.low + found.high == pytest.approx(1)


def test_brier_by_hand():
    """Said 0.2 twice (none, one came), 0.8 twice (both): squares 0.04, 0.64, 0.04, 0.04 make 0.76 / 4.

    Groups came 0.5 and 1, all 0.75: reliability (0.3^2 + 0.2^2) / 2, resolution 0.25^2, uncertainty 0.1875.
    """
    found = brier_score([0.2, 0.2, 0.8, 0.8], [0, 1, 1, 1])
    assert found.score == pytest.approx(0.19)
    assert found.reliability == pytest.approx(0.065)
    assert found.resolution == pytest.approx(0.0625)
    assert found.uncertainty == pytest.approx(0.1875)
    assert found.within_groups == pytest.approx(0)


def test_equal_chances_stay_in_one_group():
    table = calibration_table([0.5] * 6 + [0.9, 1.0], [1, 0, 1, 0, 1, 0, 1, 1], groups=4)
    assert table.count.tolist() == [6, 2]
    assert table.came_about.tolist() == [3, 2]
    assert table.chance_share.tolist() == pytest.approx([0.5, 0.95])
    assert table.observed_share.tolist() == [0.5, 1.0]
    # Wilson for 2 of 2: low = 2 / (2 + 1.96^2).
    assert table.observed_low_share[1] == pytest.approx(2 / (2 + 3.841459), abs=1e-6)
    assert table.observed_high_share[1] == pytest.approx(1)


def test_without_cases_there_is_nothing():
    assert len(calibration_table([], []).count) == 0
    assert np.isnan(brier_score([], []).score)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: area_under_curve([1, 2], [1]), "do not go with outcomes"),
        (lambda: area_under_curve([1, np.nan], [1, 0]), "a score is missing"),
        (lambda: brier_score([0.5, 1.1], [1, 0]), "outside 0-1"),
        (lambda: calibration_table([0.5], [1], 0), "at least 1 is needed"),
    ],
)
def test_what_makes_no_sense_is_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
