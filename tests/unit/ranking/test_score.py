import numpy as np
import pytest

from geo_scout.model.criteria import Curve, HostArea, HostCover
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.score import curve_limits, curve_value, score_sites, value_interval


def curve(shape, start, end, **full):
    return Curve.model_validate({"shape": shape, "from": start, "to": end, **full})


def exact(*values):
    return CriterionValue.exact("ha", np.array(values, dtype=float), "not measured")


def ranged(value, low, high):
    value, low, high = (np.array(one, dtype=float) for one in (value, low, high))
    return CriterionValue("ha", value, low, high, ~np.isnan(value), ("",) * len(value))


AREA = HostArea(weight=3.0, curve=curve("rising", 0.0, 4.0))
COVER = HostCover(weight=1.0, curve=curve("plateau", 0.0, 100.0, full_from=20.0, full_to=60.0))
CRITERIA = {"host_area": AREA, "host_cover": COVER}


def test_points_and_score_by_hand():
    """1 of 4 ha is worth 0.25, times 3 of 4 weights 0.1875; 80 % is halfway down the plateau: 0.5 of 0.25."""
    scored = score_sites(CRITERIA, {"host_area": exact(1.0), "host_cover": exact(80.0)})
    assert scored.weights == {"host_area": 0.75, "host_cover": 0.25}
    assert (scored.values["host_area"][0], scored.values["host_cover"][0]) == (0.25, 0.5)
    assert (scored.points["host_area"][0], scored.points["host_cover"][0]) == (0.1875, 0.125)
    assert (scored.score[0], scored.score_low[0], scored.score_high[0]) == (0.3125, 0.3125, 0.3125)


def test_a_missing_measure_without_a_range_leaves_everything_open_and_counts_as_nothing():
    scored = score_sites(CRITERIA, {"host_area": exact(np.nan), "host_cover": exact(40.0)})
    assert (scored.score_low[0], scored.score_high[0]) == (0.25, 1.0)
    assert scored.score[0] == 0.25
    assert scored.points["host_area"][0] == 0.0


def test_a_missing_measure_with_a_range_counts_at_its_lower_end():
    """Between 1 and 3 of 4 ha: values 0.25 to 0.75, points 0.1875 to 0.5625."""
    measures = {"host_area": ranged([np.nan], [1.0], [3.0]), "host_cover": exact(40.0)}
    scored = score_sites(CRITERIA, measures)
    assert (scored.score_low[0], scored.score_high[0]) == (0.4375, 0.8125)
    assert scored.score[0] == 0.4375


def test_the_range_of_a_known_measure_does_not_widen_the_score():
    scored = score_sites(CRITERIA, {"host_area": ranged([2.0], [1.0], [3.0]), "host_cover": exact(40.0)})
    assert scored.score_low[0] == scored.score_high[0] == scored.score[0] == 0.625


def test_a_range_over_the_top_of_a_plateau_reaches_one():
    low, high = value_interval(COVER.curve, ranged([np.nan], [10.0], [80.0]))
    assert (low[0], high[0]) == (0.5, 1.0)


def test_a_range_with_one_end_unknown_is_as_open_as_none():
    low, high = value_interval(AREA.curve, ranged([np.nan], [1.0], [np.nan]))
    assert (low[0], high[0]) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("shape", "full", "limits", "values"),
    [
        ("rising", {}, (1.0, 5.0), [0.0, 0.5, 1.0]),
        ("falling", {}, (1.0, 5.0), [1.0, 0.5, 0.0]),
        ("plateau", {"full_from": 2.0, "full_to": 4.0}, (1.0, 2.0, 4.0, 5.0), [0.0, 1.0, 0.0]),
    ],
)
def test_curves_at_their_ends_and_middle(shape, full, limits, values):
    one = curve(shape, 1.0, 5.0, **full)
    assert curve_limits(one) == limits
    assert curve_value(one, np.array([1.0, 3.0, 5.0])).tolist() == values
    assert np.isnan(curve_value(one, np.array([np.nan])))[0]


def test_a_criterion_of_weight_nothing_is_measured_and_adds_nothing():
    criteria = {"host_area": AREA, "host_cover": HostCover(weight=0.0, curve=COVER.curve)}
    scored = score_sites(criteria, {"host_area": exact(4.0), "host_cover": exact(np.nan)})
    assert scored.score[0] == scored.score_high[0] == 1.0
    assert scored.points["host_cover"][0] == 0.0


def test_no_sites_no_scores():
    scored = score_sites(CRITERIA, {"host_area": exact(), "host_cover": exact()})
    assert len(scored.score) == 0


def test_an_s_and_steps_give_their_values_and_their_ranges():
    """A quarter of the way up an S: 2 x 0.25^2. Down it from 0 to 4: 1 - 0.125. Steps hold their left limit."""
    up, down = curve("s_shaped", 0, 4), curve("s_shaped", 0, 4, direction="falling")
    assert curve_value(up, np.array([1.0, 2.0, np.nan])).tolist()[:2] == [0.125, 0.5]
    assert curve_value(down, np.array([1.0])).tolist() == [0.875]
    assert (curve_limits(up), curve_limits(down)) == ((0.0, 4.0), (4.0, 0.0))
    stairs = Curve.model_validate({"shape": "steps", "limits": [1.0, 2.0], "levels": [0.2, 0.0, 1.0]})
    assert curve_value(stairs, np.array([0.9, 1.0, 2.0])).tolist() == [0.2, 0.0, 1.0]
    low, high = value_interval(stairs, ranged([np.nan, np.nan], [0.5, 1.0], [1.5, 2.0]))
    assert (low.tolist(), high.tolist()) == ([0.0, 0.0], [0.2, 1.0])
    low, high = value_interval(down, ranged([np.nan], [1.0], [2.0]))
    assert (low[0], high[0]) == (0.5, 0.875)
