import numpy as np

from geo_scout.formulas.calibrated_chance import fit_chance
from geo_scout.learning.splits import chance_of_share, chance_of_value, held_out, later_part


def test_each_part_is_told_by_the_others_alone():
    """A changed outcome in a part changes no chance in it."""
    value = np.array([0.1, 0.4, 0.5, 0.9, 0.2, 0.7])
    outcome = np.array([0, 1, 0, 1, 0, 1], dtype=bool)
    part = np.array(list("aabbcc"), dtype=object)
    told = held_out(value, outcome, part, chance_of_value)
    assert told[:2].tolist() == fit_chance(value[2:], outcome[2:]).chance(value[:2]).tolist()
    turned = outcome.copy()
    turned[:2] = ~turned[:2]
    assert held_out(value, turned, part, chance_of_value)[:2].tolist() == told[:2].tolist()


def test_one_part_alone_is_told_by_nobody():
    told = held_out(np.ones(2), np.array([True, False]), np.array(["a", "a"], dtype=object), chance_of_share)
    assert np.isnan(told).all()


def test_who_tells_the_share_adds_half_a_case_to_each_side():
    assert chance_of_share(np.zeros(3), np.array([True, True, False]), np.zeros(2)).tolist() == [2.5 / 4] * 2


def test_releases_of_one_day_are_not_parted():
    days = np.array(["2018-06-01"] * 3 + ["2019-06-01"], dtype="datetime64[D]")
    assert later_part(days).tolist() == [False, False, False, True]
    assert later_part(days[:3]).tolist() == [False] * 3
