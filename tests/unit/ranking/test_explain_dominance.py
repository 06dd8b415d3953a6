import numpy as np
import pandas as pd

from geo_scout.model.criteria import Curve, HostArea, HostCover, Slope
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.ranking import Ranking
from geo_scout.ranking import explain_dominance

LINE = Curve.model_validate({"shape": "rising", "from": 0, "to": 10})
CRITERIA = {
    name: kind(curve=LINE)
    for name, kind in (("host_area", HostArea), ("host_cover", HostCover), ("slope", Slope))
}


def ranking(area, cover, ranked, low=None, high=None):
    value = np.array(cover, dtype=float)
    ends = [value if end is None else np.array(end, dtype=float) for end in (low, high)]
    measures = {
        "host_area": CriterionValue.exact("ha", np.array(area, dtype=float)),
        "host_cover": CriterionValue("pct", value, *ends, ~np.isnan(value), ("",) * len(value)),
        "slope": CriterionValue.exact("deg", np.arange(len(value), dtype=float)),
    }
    table = pd.DataFrame({"site_id": ranked, "status": "ranked"})
    return Ranking(
        "beetle", "release", CRITERIA, {"host_area": 0.5, "host_cover": 0.5, "slope": 0.0}, measures, table
    )


def test_who_beats_and_who_is_beaten_whatever_the_weights():
    """B beats C and D in both; A has more area and less cover; slope weighs nothing."""
    one = ranking([9, 5, 5, 1], [1, 5, 4, 4], ["A", "B", "C", "D"])
    assert explain_dominance(one, list("ABCD"), "B").splitlines() == [
        "B beside the other 3 ranked release sites for beetle, whatever the weights:",
        "  better than or equal to 2 of them on every criterion that has a weight",
        "  beaten or equalled on every criterion that has a weight by none",
    ]
    assert explain_dominance(one, list("ABCD"), "D").splitlines()[1:] == [
        "  better than or equal to 0 of them on every criterion that has a weight",
        "  beaten or equalled on every criterion that has a weight by B, C",
    ]


def test_what_is_not_measured_cannot_surely_beat_or_be_beaten():
    one = ranking([5, 5], [5, np.nan], ["A", "B"], low=[5, 3], high=[5, 6])
    assert (
        explain_dominance(one, ["A", "B"], "A")
        .splitlines()[1]
        .endswith("equal to 0 of them on every criterion that has a weight")
    )
    sure = ranking([5, 5], [5, np.nan], ["A", "B"], low=[5, 3], high=[5, 4])
    assert (
        explain_dominance(sure, ["A", "B"], "A")
        .splitlines()[1]
        .endswith("equal to 1 of them on every criterion that has a weight")
    )


def test_a_site_left_out_is_held_against_the_ranked_ones():
    one = ranking([9, 5], [9, 5], ["B"])
    assert "equal to 1 of them" in explain_dominance(one, ["A", "B"], "A")


def test_alone_there_is_nothing_to_say():
    assert explain_dominance(ranking([9], [9], ["A"]), ["A"], "A") == ""


def test_of_many_the_best_five_are_named():
    ids = [f"S{number}" for number in range(8)]
    one = ranking(list(range(8, 0, -1)), list(range(8, 0, -1)), ids)
    assert explain_dominance(one, ids, "S7").endswith("by S0, S1, S2, S3, S4 and 2 more")
