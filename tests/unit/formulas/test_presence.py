"""The equations of presence at their ends and by hand."""

import numpy as np
import pytest

from geo_scout.formulas.presence import (
    SURE_LOG,
    after_found,
    after_not_found,
    after_release,
    after_year,
    arrival_hazard,
    log_not_reached,
)


def test_a_visit_in_vain():
    # 0.5 x 0.5 / 0.75; nothing to see; not known; sure to be there; sure not to be there; sure to be seen
    chance, detection = [0.5, 0.5, 0.5, 1.0, 0.0, 0.5], [0.5, 0.0, np.nan, 0.9, 0.9, 1.0]
    assert after_not_found(chance, detection).tolist() == pytest.approx([1 / 3, 0.5, 0.5, 1, 0, 0])
    assert after_not_found(1.0, 1.0) == 1.0  # cannot be; what is certain stays


def test_a_find():
    # 0.25 / (0.25 + 0.5 x 0.1); no mistakes, from nothing as well; a mistake is no less likely than a find
    chance, detection, wrong = [0.5, 0.5, 0.0, 0.5, 0.5], [0.5, 0.5, 0.5, 0.5, 0.0], [0.1, 0.0, 0.0, 0.8, 0.1]
    assert after_found(chance, detection, wrong).tolist() == pytest.approx([5 / 6, 1, 1, 0.5, 0.5])
    assert after_found(0.0, 0.5, 0.1) == 0.0


def test_a_release_beside_what_may_have_arrived():
    # 0.3 arrived: 1 - 0.7 x 0.5 with a prior of 0.5; a lower prior than what is there already changes nothing
    assert after_release(0.3, 0.3, 0.5, is_independent=False) == pytest.approx(0.65)
    assert after_release(0.8, 0.3, 0.5, is_independent=False) == 0.8
    assert after_release(0.8, 0.3, 0.5, is_independent=True) == pytest.approx(0.9)
    assert after_release(1.0, 1.0, 0.5, is_independent=False) == 1.0


def test_years_wear_down_only_what_stands_alone():
    chance, arrived = after_year([0.5, 0.5, 0.5], [0.0, 0.5, 0.2], 0.8, 0.0)
    assert chance.tolist() == pytest.approx([0.4, 0.5, 0.44])
    assert arrived.tolist() == [0.0, 0.5, 0.2]


def test_with_persistence_one_a_year_only_adds():
    chance, _ = after_year(0.5, [0.0, 0.2, 0.5], 1.0, 0.3)
    assert chance.tolist() == pytest.approx([0.65] * 3)


def test_hazards_multiply_up_to_the_chance_of_having_arrived():
    arrived = np.array([0.0, 0.1, 0.4, 0.4, 0.95])
    logs = log_not_reached(arrived, 1.0)
    hazard = arrival_hazard(logs[:-1], logs[1:])
    np.testing.assert_allclose(1 - np.cumprod(1 - hazard), arrived[1:], rtol=1e-14)


def test_what_is_sure_stays_finite_and_says_nothing_new():
    sure = log_not_reached(1.0, 1.0)
    assert sure == SURE_LOG
    assert arrival_hazard(0.0, sure) == 1.0
    assert arrival_hazard(sure, sure) == 0.0
    assert arrival_hazard(-1.0, -0.5) == 0.0  # a curve that falls with time takes nothing back
