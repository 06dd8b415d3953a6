import numpy as np
import pandas as pd

from geo_scout.outputs.rounding import round_table
from geo_scout.ranking import score_sites
from geo_scout.ranking.robust_columns import SHARES, robust_columns
from tests import robust_sites as by_hand

CHOSEN = by_hand.criteria(host_area=1, crew_distance=1)
MEASURES = {
    "host_area": by_hand.measure("host_area", [2.0, 9.0, 5.0], [1, 8, 4], [3, 10, 6]),
    "crew_distance": by_hand.measure("crew_distance", [9.0, 6.0, 5.0]),
}


def columns(ranks=(pd.NA, 1, 2)):
    unsure = by_hand.doubts(3, area=by_hand.area([1, 8, 4], [2, 9, 5], [3, 10, 6], least_ha=2.5))
    out = [f"A-{row}" for row, rank in enumerate(ranks) if rank is pd.NA]
    sure = by_hand.assess(unsure, CHOSEN, MEASURES, out=out, draws=2_000, top_n=1)
    scored = score_sites(CHOSEN, MEASURES)
    table = pd.DataFrame(
        {
            "site_id": by_hand.ids_of(3),
            "rank": pd.array(ranks, dtype="Int64"),
            "score": scored.score,
            "gross_ha": [50.0] * 3,
            "what_would_change_it": ["Lower the limit.", "", ""],
        }
    )
    return robust_columns(table, "release", CHOSEN, MEASURES, scored, sure), sure


def test_ranked_sites_have_intervals_and_words_and_the_others_their_shares():
    found, sure = columns()
    assert found["rank_low"].tolist() == [pd.NA, 1, 2]
    assert found["rank_high"].tolist() == [pd.NA, 1, 2]
    assert found["why_here"].str.startswith("Ranks").tolist() == [False, True, True]
    assert found["what_would_change_it"][0] == "Lower the limit."
    assert found["what_would_change_it"][1].startswith("It would drop out of the first 1 if")
    assert found["what_would_change_it"][2].startswith("It would come among the first 1 if")
    assert 0 < found["eligible_share"][0] < 0.2
    for name in SHARES:
        np.testing.assert_array_equal(found[name], getattr(sure, name))


def test_they_print_as_ranks_and_shares():
    printed = round_table(columns()[0])
    assert printed["rank_low"].tolist()[1:] == [1, 2]
    assert printed["eligible_share"].tolist()[1:] == [1.0, 1.0]
    assert (printed["top_n_share"] == printed["top_n_share"].round(4)).all()


def test_nobody_ranked_has_no_words():
    found, _ = columns((pd.NA, pd.NA, pd.NA))
    assert found["why_here"].tolist() == [""] * 3
    assert found["rank_low"].isna().all()
