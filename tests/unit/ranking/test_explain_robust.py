from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

import geo_scout
from geo_scout.ranking import explain_robustness


@pytest.fixture(scope="module")
def ranking():
    result = geo_scout.run("geo_scout/starter/season.toml", write=False)
    return next(one for one in result.rankings if one.role == "release" and len(one.ranked) > 2)


def test_the_figures_are_those_of_the_table(ranking):
    row = ranking.ranked.iloc[1]
    text = explain_robustness(ranking, row["site_id"])
    assert text.startswith(
        f"How sure is {row['site_id']}'s place among the release sites of {ranking.agent}:"
    )
    assert f"  Why here: {row['why_here']}\n" in text
    assert f"  What would change it: {row['what_would_change_it']}\n" in text
    assert f"\n  rank {row['rank_low']} to {row['rank_high']} between the 5 % and the 95 % point" in text
    errors = [
        np.sqrt(p * (1 - p) / draws)
        for share in (row["top_n_share"], row["eligible_share"])
        for draws in [ranking.robustness.draws]
        for p in [(share * draws + 1) / (draws + 2)]
    ]
    assert (
        f"in {row['top_n_share']:.4f} (+- {errors[0]:.4f}) of the draws; left out by no limit in "
        f"{row['eligible_share']:.4f} (+- {errors[1]:.4f})"
    ) in text
    at = np.sort(ranking.table["site_id"].to_numpy(dtype=object)).tolist().index(row["site_id"])
    low, high = (end[at] for end in ranking.robustness.ranges["host_area"])
    assert low < row["host_area_ha"] < high
    assert f"\n  drawn at this site: host area {low:.4f} to {high:.4f} ha" in text
    for sentence in (*ranking.robustness.drawn, *ranking.robustness.exact):
        assert f"\n    {sentence}" in text


def test_words_that_the_table_has_no_room_for_are_made_again(ranking):
    table = ranking.table.assign(why_here="", what_would_change_it="")
    bare = replace(ranking, table=table)
    for site_id in ranking.ranked["site_id"]:
        assert explain_robustness(bare, site_id) == explain_robustness(ranking, site_id)


def test_nothing_is_said_of_a_site_no_draw_lets_in_or_where_nothing_was_drawn(ranking):
    out = ranking.left_out[ranking.left_out["eligible_share"] == 0]
    assert explain_robustness(ranking, out["site_id"].iloc[0]) == ""
    assert explain_robustness(replace(ranking, robustness=None), ranking.ranked["site_id"].iloc[0]) == ""


def test_a_site_that_some_draw_lets_in_is_told_of_without_a_rank(ranking):
    site_id = ranking.ranked["site_id"].iloc[0]
    table = ranking.table.assign(
        status=ranking.table["status"].where(ranking.table["site_id"] != site_id, "left out"),
        rank=ranking.table["rank"].where(ranking.table["site_id"] != site_id, pd.NA),
    )
    text = explain_robustness(replace(ranking, table=table), site_id)
    assert "Why here" not in text
    assert "where no limit leaves it out" in text
