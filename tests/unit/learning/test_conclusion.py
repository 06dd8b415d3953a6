import numpy as np
import pytest

from geo_scout.formulas.area_intervals import area_interval
from geo_scout.formulas.ranking_skill import AreaUnderCurve
from geo_scout.learning.conclusion import conclude, needed_more


def area(share, successes, failures):
    low, high = area_interval(share, successes, failures)
    return AreaUnderCurve(share, np.nan, low, high, successes, failures)


NONE = AreaUnderCurve(np.nan, np.nan, np.nan, np.nan, 0, 0)


@pytest.mark.parametrize(
    ("every", "checks", "said"),
    [
        (area(1.0, 9, 40), {}, ("none", ())),  # all in order, but nine successes are too few
        (area(0.8, 30, 30), {}, ("better", ())),
        (area(0.8, 30, 30), {"a": area(0.7, 20, 20)}, ("better", ())),
        (area(0.8, 30, 30), {"a": area(0.52, 20, 20)}, ("none", ("a",))),  # its interval holds one half
        (
            area(0.8, 30, 30),
            {"a": area(0.8, 20, 20), "b": NONE},
            ("none", ("b",)),
        ),  # nothing is left to look at
        (area(0.2, 30, 30), {"a": area(0.3, 20, 20)}, ("worse", ())),
        (area(0.2, 30, 30), {"a": area(0.7, 20, 20), "b": area(0.5, 20, 20)}, ("none", ("a", "b"))),
        (area(0.55, 30, 30), {}, ("none", ())),  # 0.41 to 0.69
        (area(0.51, 100, 100), {}, ("chance", ())),  # 0.43 to 0.59
        (area(0.58, 100, 100), {}, ("none", ())),  # 0.4995 to 0.654: narrow, but it may be 0.65
    ],
)
def test_what_may_be_said(every, checks, said):
    assert conclude(every, checks, is_main=True) == said


def test_of_the_other_rules_no_chance_is_concluded():
    assert conclude(area(0.51, 100, 100), {}, is_main=False) == ("none", ())


def test_how_many_more_is_what_makes_the_interval_narrow_enough():
    more = needed_more(30, 30)
    low, high = area_interval(0.5, (60 + more) // 2, (60 + more) - (60 + more) // 2)
    assert (high - low) / 2 <= 0.1
    low, high = area_interval(0.5, (59 + more) // 2, (59 + more) - (59 + more) // 2)
    assert (high - low) / 2 > 0.1


def test_a_rare_outcome_asks_for_ten_of_it():
    """One in 25 failing: ten of them take 250, and the interval more than that."""
    assert needed_more(24, 1) + 25 >= 250
    assert needed_more(0, 0) is needed_more(4, 0) is None
