import numpy as np
import pytest

from geo_scout.model.criteria import Curve, HostArea, HostCover, WastedChance
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.combine import combiner
from geo_scout.ranking.score import score_sites

VALUES, WEIGHTS = np.array([[0.25, 1.0], [0.0, 0.5]]), np.array([0.5, 0.5])
LINE = Curve.model_validate({"shape": "rising", "from": 0, "to": 1})


def measured(*values, low=None, high=None):
    value = np.array(values, dtype=float)
    low = value if low is None else np.array(low, dtype=float)
    high = value if high is None else np.array(high, dtype=float)
    return CriterionValue("", value, low, high, ~np.isnan(value), ("",) * len(value))


def scored(method, area, cover, attitude=None, may_rank=None):
    criteria = {"host_area": HostArea(weight=1, curve=LINE), "host_cover": HostCover(weight=1, curve=LINE)}
    measures = {"host_area": area, "host_cover": cover}
    return score_sites(criteria, measures, None, method, attitude, may_rank)


@pytest.mark.parametrize(
    ("method", "attitude", "expected"),
    [
        ("weighted_sum", None, [0.625, 0.25]),
        ("weighted_product", None, [0.5, 0.0]),
        ("ordered_average", 0.5, [0.625, 0.25]),
        # alpha 3: the best counts 0.5^3, the worst the rest.
        ("ordered_average", 0.25, [1 / 8 + 0.25 * 7 / 8, 0.5 / 8]),
        ("ordered_average", 0.0, [0.25, 0.0]),
        ("ordered_average", 1.0, [1.0, 0.5]),
        ("ideal_distance", None, [1.0, 0.0]),
    ],
)
def test_two_sites_by_hand(method, attitude, expected):
    assert combiner(method, attitude)(VALUES, WEIGHTS).tolist() == pytest.approx(expected)


def test_at_the_ends_only_criteria_that_count_count():
    assert combiner("ordered_average", 0.0)(VALUES, np.array([0.0, 1.0])).tolist() == [1.0, 0.5]


def test_an_ordered_average_without_attitude_is_refused():
    with pytest.raises(ValueError, match="needs its attitude"):
        combiner("ordered_average")


@pytest.mark.parametrize(
    ("method", "attitude", "low", "high"),
    [
        ("weighted_sum", None, 0.25, 0.65),
        ("weighted_product", None, 0.2, 0.6),
        # alpha 3: the best value counts an eighth.
        ("ordered_average", 0.25, 0.4 / 8 + 0.1 * 7 / 8, 0.9 / 8 + 0.4 * 7 / 8),
    ],
)
def test_a_missing_measure_leaves_an_interval_by_every_method(method, attitude, low, high):
    """Values 0.4, and 0.1 to 0.9 where it is missing; the site is ranked by its lower end."""
    first = measured(0.4, 0.5)
    second = measured(np.nan, 0.5, low=[0.1, 0.5], high=[0.9, 0.5])
    found = scored(method, first, second, attitude)
    assert (found.score_low[0], found.score_high[0]) == (pytest.approx(low), pytest.approx(high))
    assert found.score[0] == found.score_low[0] < found.score_high[0]
    assert found.score_low[1] == found.score_high[1]
    assert found.high_values["host_cover"].tolist() == [0.9, 0.5]


def test_by_distance_to_the_ideal_the_others_stay_at_their_lowest():
    """Alone with a 1 and a 0 the open site reaches the best of all at its upper end."""
    first = measured(0.5, 1.0, 0.0)
    second = measured(np.nan, 0.5, 0.5, low=[0.5, 0.5, 0.5], high=[1.0, 0.5, 0.5])
    found = scored("ideal_distance", first, second)
    assert found.score_low[0] == pytest.approx(0.5)
    assert found.score_high[0] > 0.5
    assert found.score_low[1:].tolist() == found.score_high[1:].tolist() == [1.0, 0.0]


def test_a_site_left_out_moves_nobody_and_is_scored_as_a_newcomer():
    """The third site would be the ideal; among the two others the ideal is the first."""
    first, second = measured(0.6, 0.2, 1.0), measured(0.6, 0.2, 1.0)
    among = np.array([True, True, False])
    found = scored("ideal_distance", first, second, may_rank=among)
    assert found.score.tolist() == pytest.approx([1.0, 0.0, 1.0])
    point = found.ideal["host_area"]
    assert (point.best, point.worst, point.site_count) == (0.6, 0.2, 2)
    assert point.root == pytest.approx(np.sqrt(0.4))


def test_what_a_site_would_score_if_the_agent_were_not_there_follows_the_method():
    criteria = {
        "host_area": HostArea(weight=1, curve=LINE),
        "wasted_chance": WastedChance(
            weight=1, curve=Curve.model_validate({"shape": "falling", "from": 0, "to": 1})
        ),
    }
    measures = {"host_area": measured(0.25, 1.0), "wasted_chance": measured(0.75, 0.5)}
    found = score_sites(criteria, measures, None, "weighted_product")
    assert found.score_if_free is not None
    assert found.score_if_free.tolist() == pytest.approx([0.5, 1.0])
    assert score_sites(criteria, measures).score_if_free is None


def test_nobody_may_be_ranked():
    found = scored("ideal_distance", measured(0.5, 1.0), measured(0.5, 1.0), may_rank=np.zeros(2, bool))
    assert found.score.tolist() == [0.5, 0.5]
    assert found.ideal == {}
