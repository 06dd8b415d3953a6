"""What a ranking hands to the page."""

from dataclasses import replace
from typing import Any

import pandas as pd
import pytest

from geo_scout.model.result import SeasonResult
from geo_scout.model.scouting import ScoutingList
from geo_scout.outputs.map.rankings import criterion_label, ranking_data
from geo_scout.outputs.tables import build_tables


def _data(season: SeasonResult, number: int) -> tuple[Any, Any]:
    ranking = season.rankings[number]
    table = build_tables(season, "crew")[ranking.role]
    return ranking_data(season, ranking, table, "crew"), table[table["agent"] == ranking.agent]


def test_rows_keep_the_order_and_figures_of_the_table(season: SeasonResult) -> None:
    data, table = _data(season, 0)
    columns = data["columns"]
    assert columns["site_id"] == table["site_id"].to_list()
    assert columns["rank"] == [
        None if rank is None else int(rank) for rank in table["rank"].replace({float("nan"): None})
    ]
    names = [criterion["name"] for criterion in data["criteria"]]
    area = names.index("host_area")
    assert data["measures"][area] == table["host_area_ha"].to_list()
    low = data["values"]["low"][area]
    # Infested area rises from 0 to 5 ha unless the season says otherwise; nothing is rounded on the way.
    assert low == [min(area_ha / 5, 1.0) for area_ha in table["host_area_ha"]]


def test_weights_are_the_points_a_site_could_have(season: SeasonResult) -> None:
    data, _ = _data(season, 0)
    weights = {criterion["name"]: criterion["weight"] for criterion in data["criteria"]}
    # 3 of 3 + 1 + 1 + 2 + 2
    assert weights["host_area"] == pytest.approx(3 / 9, abs=1e-15)
    assert abs(sum(weights.values()) - 1) < 1e-12


def test_a_measure_without_a_unit_is_found_by_its_bare_name(season: SeasonResult) -> None:
    data, table = _data(season, 0)
    gap = [criterion["name"] for criterion in data["criteria"]].index("climate_gap")
    known = [value for value in data["measures"][gap] if value is not None]
    assert known == table["climate_gap"].dropna().to_list()
    assert len(known) < len(table)


def test_worth_scouting_is_a_source_with_no_other_reason_against_it(season: SeasonResult) -> None:
    data, table = _data(season, 1)
    assert data["role"] == "source"
    scouting = dict(zip(data["columns"]["site_id"], data["columns"]["worth_scouting"], strict=True))
    codes = dict(zip(table["site_id"], table["exclusion_codes"], strict=True))
    assert {site for site, worth in scouting.items() if worth} == {
        site for site, code in codes.items() if code == "agent-not-confirmed"
    }
    assert any(scouting.values())


def test_no_release_site_is_worth_scouting(season: SeasonResult) -> None:
    data, _ = _data(season, 0)
    assert not any(data["columns"]["worth_scouting"])


def _with_visits(season: SeasonResult, worth: dict[str, float]) -> SeasonResult:
    table = pd.DataFrame({"site_id": list(worth), "visit_worth": list(worth.values()), "why": "two in three"})
    return replace(season, scouting=(ScoutingList(season.rankings[1].agent, "source", table),))


def test_where_visits_are_valued_those_left_out_that_can_change_something_are_worth_scouting(
    season: SeasonResult,
) -> None:
    _, table = _data(season, 1)
    ranked, out = (table.loc[table["status"] == one, "site_id"].tolist() for one in ("ranked", "left out"))
    data, _ = _data(_with_visits(season, {out[1]: 0.5, ranked[0]: 0.4, out[0]: 0.0}), 1)
    columns = data["columns"]
    assert [s for s, is_so in zip(columns["site_id"], columns["worth_scouting"], strict=True) if is_so] == [
        out[1]
    ]
    order = dict(zip(columns["site_id"], columns["visit_order"], strict=True))
    assert {site: place for site, place in order.items() if place} == {out[1]: 1, ranked[0]: 2}
    assert data["is_valued"]
    assert data["scouting"]["site_id"] == [out[1], ranked[0]]
    assert data["scouting"]["why"] == {"texts": ["two in three"], "row": [0, 0]}


def test_where_no_visit_can_change_anything_none_is_worth_scouting(season: SeasonResult) -> None:
    _, table = _data(season, 1)
    data, _ = _data(_with_visits(season, dict.fromkeys(table["site_id"], 0.0)), 1)
    assert not any(data["columns"]["worth_scouting"])
    assert data["is_valued"]


def test_a_criterion_of_another_version_still_has_a_label() -> None:
    assert criterion_label("hours_on_foot", "release") == "Hours on foot"


def test_a_score_that_is_no_sum_of_points_says_how_it_is_made(season: SeasonResult) -> None:
    assert "combination" not in _data(season, 0)[0]
    changed = replace(season.rankings[0], method="weighted_product")
    data, _ = _data(replace(season, rankings=(changed, *season.rankings[1:])), 0)
    assert data["combination"].startswith("By weighted product: the product of value ^ weight")
    assert data["combination"].endswith("The points alone do not add up to it.")
