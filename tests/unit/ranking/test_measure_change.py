from dataclasses import dataclass

import pytest

from geo_scout.model.criteria import Curve
from geo_scout.ranking.measure_change import least_measure_change


@dataclass
class Asked:
    value: float
    is_higher: bool

    def is_reached(self, value):
        return value >= self.value if self.is_higher else value <= self.value


def change(curve, now, value, is_higher, unit="km", highest=float("inf")):
    return least_measure_change(
        "crew_distance", Curve.model_validate(curve), unit, now, highest, Asked(value, is_higher)
    )


RISING = {"shape": "rising", "from": 0.0, "to": 10.0}
PLATEAU = {"shape": "plateau", "from": 0.0, "full_from": 10.0, "full_to": 20.0, "to": 40.0}


def test_a_line_read_backwards_is_rounded_to_the_side_that_does_it():
    found = change(RISING, 2.0, 0.333, True)
    assert (found.then, found.decimals) == (3.4, 1)
    assert found.of_curve == pytest.approx(0.133)
    assert change(RISING, 8.0, 0.333, False).then == 3.3


def test_the_nearer_side_of_a_plateau_is_taken():
    assert change(PLATEAU, 12.0, 0.5, False).then == 5.0
    assert change(PLATEAU, 19.0, 0.5, False).then == 30.0
    assert change(PLATEAU, 0.0, 0.9, True).then == 9.0


def test_what_cannot_be_is_not_told():
    assert change(RISING, 2.0, 0.5, True, highest=4.0) is None
    assert change({"shape": "rising", "from": 0.0, "to": 150.0}, 20.0, 0.9, True, unit="pct") is None
    assert change(RISING, 12.0, 1.01, True) is None


def test_a_step_is_crossed_at_its_limit():
    step = {"shape": "falling", "from": 5.0, "to": 5.0}
    assert change(step, 7.0, 0.5, True).then == 5.0
    assert change(step, 4.0, 0.5, False).then == 5.1


def test_small_changes_get_the_decimals_they_need():
    found = change(RISING, 2.0, 0.20004, True)
    assert (found.then, found.decimals) == (2.0004, 4)


def test_both_numbers_print_differently():
    """From 0.8044 to 0.8 of 1: with one decimal both would print as 0.8."""
    found = change({"shape": "rising", "from": 0.0, "to": 1.0}, 0.8044, 0.8, False, unit="")
    assert f"{found.now:.{found.decimals}f}" != f"{found.then:.{found.decimals}f}"
    assert found.then <= 0.8
