import numpy as np
import pandas as pd
import pytest

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import best_first, rank_sites, score_sites

HOST_AREA = {"host_area": {"weight": 1.0, "curve": {"shape": "rising", "from": 0.0, "to": 10.0}}}
# The table of the design: these columns in this order, then per criterion measure, value, points.
FIRST = [
    "agent", "role", "rank", "site_id", "name", "purpose", "status", "score", "score_low", "score_high",
    "longitude_deg", "latitude_deg", "utm_zone", "easting_m", "northing_m", "gross_ha", "infested_ha",
    "cover_pct", "survey_date", "manager", "permission", "host_area_ha", "host_area_value",
    "host_area_points", "exclusion_codes", "reasons", "what_would_change_it", "cautions",
]  # fmt: skip


def rank(books, rows, areas, role="release", exclusions=(), **overlaps):
    season = books.season(criteria={role: HOST_AREA})
    measures = {"host_area": CriterionValue.exact("ha", np.array(areas, dtype=float), "cover unknown")}
    scored = score_sites(season.settings.criteria.of(role), measures)
    sites, evidence = books.sites(rows, **overlaps), books.evidence(rows)
    climate = pd.DataFrame(index=range(len(rows)))
    further = (books.windows(len(rows)), books.ground(len(rows)))
    return rank_sites(
        books.agent(), role, season, sites, evidence, measures, scored, exclusions, climate, *further
    )


def left_out(books, site_id, code, sentence="why.", remedy="how."):
    return books.book(books.site(site_id)).exclude(site_id, code, sentence, remedy)


def test_ranked_best_first_then_the_others_by_site_id(books):
    rows = [books.site(name) for name in ("A-1", "A-2", "A-3", "A-4", "A-5")]
    out = [left_out(books, "A-4", "too-small"), left_out(books, "A-1", "treated")]
    ranking = rank(books, rows, [9.0, 2.0, 8.0, 7.0, 5.0], exclusions=out)
    assert ranking.table["site_id"].tolist() == ["A-3", "A-5", "A-2", "A-1", "A-4"]
    assert ranking.table["rank"].tolist()[:3] == [1, 2, 3]
    assert ranking.table["rank"].isna().tolist() == [False, False, False, True, True]
    assert ranking.table["status"].tolist() == ["ranked"] * 3 + ["left out"] * 2
    assert ranking.ranked["site_id"].tolist() == ["A-3", "A-5", "A-2"]
    assert ranking.left_out["site_id"].tolist() == ["A-1", "A-4"]


def test_a_site_left_out_keeps_its_score(books):
    ranking = rank(books, [books.site()], [9.0], exclusions=[left_out(books, "A-1", "treated")])
    assert ranking.table["score"].tolist() == [0.9]


def test_the_columns_are_those_of_the_tables_in_their_order_and_each_once(books):
    table = rank(books, [books.site()], [1.0]).table
    assert list(table)[: len(FIRST)] == FIRST
    last = list(table).index("public_cautions")
    assert all(name.startswith("window_") for name in list(table)[last + 1 :])
    assert len(set(table)) == len(list(table))


def test_ties_go_to_the_smaller_site_id_and_scores_count_to_a_millionth(books):
    rows = [books.site(name) for name in ("A-1", "A-2", "A-3")]
    # 5.000001 of 10 ha is a score of 0.5000001: equal to a millionth; 5.00001 is 0.500001 and is not.
    assert rank(books, rows, [5.0, 5.000001, 5.0]).table["site_id"].tolist() == ["A-1", "A-2", "A-3"]
    assert rank(books, rows, [5.0, 5.00001, 5.0]).table["site_id"].tolist() == ["A-2", "A-1", "A-3"]


def test_site_ids_are_compared_as_text(books):
    rows = [books.site(name) for name in ("A-10", "A-9")]
    assert rank(books, rows, [5.0, 5.0]).table["site_id"].tolist() == ["A-10", "A-9"]
    assert best_first(np.array([0.5, 0.5]), ["A-9", "A-10"]) == ["A-10", "A-9"]
    assert best_first(np.array([0.1, 0.9, 0.5]), ["A-1", "A-2", "A-3"]) == ["A-2", "A-3", "A-1"]


def test_an_unmeasured_site_is_ranked_by_its_lower_end_and_marked(books):
    table = rank(books, [books.site("A-1"), books.site("A-2")], [np.nan, 0.5]).table
    assert table["site_id"].tolist() == ["A-2", "A-1"]
    assert table[["score", "score_low", "score_high"]].iloc[1].tolist() == [0.0, 0.0, 1.0]
    assert "Not measured: host area; the score lies between 0.000 and 1.000." in table["cautions"].iloc[1]
    assert "Not measured" not in table["cautions"].iloc[0]


def test_reasons_codes_and_remedies_are_kept_together(books):
    out = [
        left_out(books, "A-1", "too-small", "0.1 ha.", "Lower it."),
        left_out(books, "A-1", "treated", "T1.", "Wait."),
        left_out(books, "A-1", "treated", "T2.", "Wait longer."),
    ]
    row = rank(books, [books.site()], [1.0], exclusions=out).table.iloc[0]
    assert row["exclusion_codes"] == "too-small; treated"
    assert row["reasons"] == "Left out: 0.1 ha. Left out: T1. Left out: T2."
    assert row["what_would_change_it"] == "Only all of these together: Lower it. Wait. Wait longer."


def test_measure_value_points_and_land_are_in_the_row(books):
    land = [("A-1", "crop", "forbid", 0.02), ("A-1", "pasture", "prefer", 0.5)]
    row = rank(books, [books.site()], [2.5], land=land).table.iloc[0]
    assert (row["host_area_ha"], row["host_area_value"], row["host_area_points"]) == (2.5, 0.25, 0.25)
    assert row["land_classes"] == "crop 2%; pasture 50%"
    assert row["legal_status"] == "allowed"
    assert pd.isna(row["nearest_population_km"])


def test_purpose_belongs_to_release_sites(books):
    rows = [books.site(purpose="nursery")]
    assert rank(books, rows, [1.0]).table["purpose"].tolist() == ["nursery"]
    assert rank(books, rows, [1.0], role="source").table["purpose"].tolist() == [""]


def test_the_order_of_the_patches_does_not_matter(books):
    rows = [books.site(name) for name in ("A-1", "A-2", "A-3")]
    forth = rank(books, rows, [1.0, 3.0, 3.0]).table
    back = rank(books, rows[::-1], [3.0, 3.0, 1.0]).table
    pd.testing.assert_frame_equal(forth, back)


@pytest.mark.parametrize("role", ["release", "source"])
def test_a_season_with_every_site_left_out_still_has_its_table(books, role):
    ranking = rank(books, [books.site()], [1.0], role=role, exclusions=[left_out(books, "A-1", "treated")])
    assert len(ranking.ranked) == 0
    assert len(ranking.table) == 1
