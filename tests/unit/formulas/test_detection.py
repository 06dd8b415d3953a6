"""The chance that a visit finds what is there, and seasons of the year."""

import numpy as np
import pytest

from geo_scout.formulas.detection import detection_chance, is_in_season


def test_twice_the_hours_are_two_tries():
    once = detection_chance(0.3, 2.0, 2.0)
    assert once == pytest.approx(0.3, rel=1e-15)
    assert detection_chance(0.3, 4.0, 2.0) == pytest.approx(1 - 0.7 * 0.7, rel=1e-15)
    assert detection_chance(0.3, 1.0, 2.0) == pytest.approx(1 - np.sqrt(0.7), rel=1e-14)


def test_ends_of_the_shares():
    assert detection_chance([0.0, 0.5, 1.0], 0.0, 1.0).tolist() == [0, 0, 0]
    assert detection_chance([0.0, 1.0], 0.1, 1.0).tolist() == [0, 1]


def test_hours_not_known_leave_the_chance_not_known():
    assert np.isnan(detection_chance(0.5, np.nan, 1.0))


@pytest.mark.parametrize(
    ("day", "inside"), [(531, False), (601, True), (815, True), (816, False), (101, False), (1231, False)]
)
def test_a_season_counts_both_ends(day, inside):
    assert is_in_season(day, 601, 815) == inside


@pytest.mark.parametrize(
    ("day", "inside"), [(1114, False), (1115, True), (1231, True), (101, True), (210, True), (211, False)]
)
def test_a_season_across_new_year(day, inside):
    assert is_in_season(day, 1115, 210) == inside


def test_a_season_of_one_day():
    assert is_in_season([228, 229, 301], 229, 229).tolist() == [False, True, False]
