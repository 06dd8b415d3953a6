from dataclasses import replace

import pandas as pd
import pytest

from geo_scout.model.cautions import BEFORE_YOU_GO, PERMISSION_UNKNOWN
from geo_scout.model.scouting import PERMISSION_CHECK, SCOUTING_COLUMNS, ScoutingList
from geo_scout.outputs.scouting import build_scouting, scouting_lines
from geo_scout.outputs.summary import VISITS_TOLD, summarise


@pytest.fixture(scope="module")
def crew(sample):
    return build_scouting(sample, "crew")


def test_every_list_is_in_the_table_with_what_to_ask_and_check(sample, crew):
    assert crew.columns.tolist() == [*SCOUTING_COLUMNS, "stop_and_ask", "before_you_go"]
    assert len(crew) == sum(len(one.table) for one in sample.scouting)
    assert list(dict.fromkeys(zip(crew["agent"], crew["role"], strict=True))) == [
        (agent.name, role) for agent in sample.season.agents for role in ("source", "release")
    ]
    assert crew["before_you_go"].str.endswith(BEFORE_YOU_GO).all()
    asked = crew["stop_and_ask"] != ""
    assert asked.any()
    told = zip(crew["stop_and_ask"][asked], crew["before_you_go"][asked], strict=True)
    assert all(check.startswith(question) for question, check in told)


def test_the_question_about_the_law_is_that_of_the_ranking(sample, crew):
    for ranking in sample.rankings:
        asked = ranking.table.set_index("site_id")["stop_and_ask"]
        ours = crew[(crew["agent"] == ranking.agent) & (crew["role"] == ranking.role)]
        assert ours["stop_and_ask"].tolist() == asked.reindex(ours["site_id"]).tolist()


def test_visits_worth_something_come_first_and_in_order(sample):
    for one in sample.scouting:
        order = one.table["visit_order"]
        worth_it = int(order.notna().sum())
        assert order[:worth_it].tolist() == list(range(1, worth_it + 1))
        assert (one.table["visit_worth"][:worth_it] > 0).all()
        rest = one.table[worth_it:]
        assert (rest["visit_worth"].isna() | (rest["visit_worth"] == 0)).all()
        assert rest["site_id"].is_monotonic_increasing
        assert (one.table["why"] != "").all()


def test_a_public_copy_names_no_manager_permission_or_crew(sample, crew):
    public = build_scouting(sample, "public")
    assert PERMISSION_CHECK in " ".join(crew["what_to_check"])
    assert crew["before_you_go"].str.contains(PERMISSION_UNKNOWN, regex=False).any()
    for column in ("manager", "permission", "crew"):
        assert (crew[column] != "").any()
        assert (public[column] == "").all()
    text = " ".join(public[["what_to_check", "why", "before_you_go"]].to_numpy().ravel())
    assert "ermission: unknown" not in text
    assert "ermission unknown" not in text
    assert (public["what_to_check"] != "").all()
    same = [
        name
        for name in SCOUTING_COLUMNS
        if name not in ("manager", "permission", "crew", "what_to_check", "why")
    ]
    pd.testing.assert_frame_equal(public[same], crew[same])
    told = public["why"].str.cat(public["what_to_check"], sep=" ")
    assert not told.str.contains("treat|disturbance|permission|forbidden").any()
    assert crew["why"].str.contains("treat").any()


def test_nobody_is_sent_to_ground_that_is_closed(sample, crew):
    closed = {"legal-forbidden", "permission-refused", "land-forbidden"}
    shut = {(one.agent, one.role, one.site_id) for one in sample.exclusions if one.code in closed}
    assert shut
    assert not shut & set(zip(crew["agent"], crew["role"], crew["site_id"], strict=True))


def visit(**given):
    row = dict.fromkeys(SCOUTING_COLUMNS, "") | {
        "visit_order": 1, "site_id": "A-1", "name": "Long draw", "sign": "adults", "visit_worth": 0.4951,
        "worth_unit": "releases", "visit_hours": 1.52, "why": "not visited since 2023",
        "sign_first_day": pd.Timestamp("2027-06-01"), "sign_last_day": pd.Timestamp("2027-07-15"),
    }  # fmt: skip
    return row | given


def listed(*rows, role="source"):
    table = pd.DataFrame(rows).astype({"visit_order": "Int64", "visit_worth": float})
    return ScoutingList("stem weevil", role, table, ("The season collects at 2 sites (collecting_sites).",))


def test_a_visit_is_told_with_what_to_look_for_when_its_worth_and_why():
    nothing = visit(visit_order=pd.NA, visit_worth=0.0, site_id="A-3")
    lines = scouting_lines(listed(visit(), visit(visit_order=2, site_id="A-2", name=""), nothing), 1)
    assert lines == [
        "Worth scouting for stem weevil, possible sources: 2 of 3 possible visits",
        "     1  A-1 (Long draw): adults, 2027-06-01 to 2027-07-15; worth 0.50 releases in 1.5 h",
        "        not visited since 2023",
        "        ... and 1 more in scouting.csv",
        "  1 visit can change nothing this season",
        "  - The season collects at 2 sites (collecting_sites).",
    ]


def test_a_worth_that_prints_as_nothing_is_next_to_nothing_and_not_nothing():
    why = "a visit here changes next to nothing: its worth is below 0.00005 releases"
    lines = scouting_lines(listed(visit(visit_order=pd.NA, visit_worth=0.0, why=why)), 5)
    assert lines[1] == "  1 more visit is worth next to nothing"
    assert not any("can change nothing" in line for line in lines)


def test_visits_that_cannot_be_valued_are_counted_by_their_reason():
    why = "not valued: the profile states no sign to look for"
    rows = [visit(visit_order=pd.NA, visit_worth=None, why=why, site_id=one) for one in "AB"]
    assert scouting_lines(listed(*rows, role="release"), 5) == [
        "Worth scouting for stem weevil, release sites: 0 of 2 possible visits",
        f"  2 {why}",
        "  - The season collects at 2 sites (collecting_sites).",
    ]


def test_the_summary_tells_each_list(sample):
    told = summarise(sample)
    for one in sample.scouting:
        assert "\n".join(scouting_lines(one, min(VISITS_TOLD, sample.season.settings.ranking.top_n))) in told


def test_a_result_without_lists_has_an_empty_table(sample):
    table = build_scouting(replace(sample, scouting=()), "crew")
    assert table.empty
    assert table.columns.tolist() == [*SCOUTING_COLUMNS, "stop_and_ask", "before_you_go"]
