"""What the map holds of earlier years, and what a public copy must not tell by them."""

import json
from dataclasses import replace

import pandas as pd
import pytest

from geo_scout.model.records_by_year import RecordsByYear
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.places import records
from geo_scout.outputs.map.years import years

YEARS = range(2020, 2026)


def _with_years(
    season: SeasonResult, releases: list[tuple[int, int, str, str]], populations: list[tuple[int, int, str]]
) -> tuple[SeasonResult, str]:
    """Return a season of which releases (row, year, outcome, state) and populations are told by year."""
    agent = season.season.agents[0].name
    evidence = season.evidence[agent]
    release_ids = evidence.releases["release_id"].tolist()
    population_ids = evidence.populations["population_id"].tolist()
    told = RecordsByYear(
        YEARS,
        pd.DataFrame(
            [(release_ids[row], year, outcome, state) for row, year, outcome, state in releases],
            columns=["release_id", "year", "outcome", "state"],
        ),
        pd.DataFrame(
            [
                (population_ids[row], year, pd.Timestamp(first), pd.Timestamp(first), "found", "R1")
                for row, year, first in populations
            ],
            columns=["population_id", "year", "first_found", "last_found", "latest_result", "release_ids"],
        ),
    )
    today = evidence.populations.assign(first_found=pd.Timestamp("2024-06-30"))
    evidence = replace(evidence, populations=today)
    return replace(
        season, evidence={**season.evidence, agent: evidence}, records_by_year={agent: told}
    ), agent


def _text(column: dict[str, list[object]]) -> list[object]:
    return [column["texts"][row] for row in column["row"]]  # type: ignore[call-overload]


TREATED = [
    (0, 2020, "not visited", "too early"),
    (1, 2020, "not visited", "too early"),
    (0, 2022, "found", "confirmed"),
    (0, 2023, "found", "lost"),  # a treatment: nobody visited in 2023
]
UNTREATED = TREATED[:3]


def test_each_change_has_its_row_its_year_and_its_words(season: SeasonResult) -> None:
    told, agent = _with_years(season, TREATED, [(0, 2024, "2024-06-30")])
    data = years(told, agent, "crew")
    assert (data["first"], data["last"]) == (2020, 2025)
    releases = data["releases"]
    assert isinstance(releases, dict)
    assert releases["row"] == [0, 1, 0, 0]
    assert releases["year"] == [2020, 2020, 2022, 2023]
    assert _text(releases["outcome"]) == ["not visited", "not visited", "found", "found"]
    assert _text(releases["state"]) == ["too early", "too early", "confirmed", "lost"]
    assert data["populations"] == {
        "row": [0],
        "year": [2024],
        "first_found": ["2024-06-30"],
        "last_found": ["2024-06-30"],
        "latest_result": ["found"],
        "release_ids": ["R1"],
    }


def test_a_treatment_changes_nothing_in_a_public_copy(season: SeasonResult) -> None:
    with_it, agent = _with_years(season, TREATED, [])
    without, _ = _with_years(season, UNTREATED, [])
    assert years(with_it, agent, "crew") != years(without, agent, "crew")
    assert years(with_it, agent, "public") == years(without, agent, "public")
    assert "state" not in years(with_it, agent, "public")["releases"]  # type: ignore[operator]


def test_a_public_copy_tells_no_earlier_life_of_a_population(season: SeasonResult) -> None:
    anew = [(0, 2021, "2021-06-30"), (0, 2024, "2024-06-30")]
    told, agent = _with_years(season, UNTREATED, anew)
    crew, public = (years(told, agent, audience)["populations"] for audience in ("crew", "public"))
    assert crew["first_found"] == ["2021-06-30", "2024-06-30"]  # type: ignore[index]
    assert public["first_found"] == ["2024-06-30"]  # type: ignore[index]


@pytest.mark.parametrize("audience", ["crew", "board", "public"])
def test_a_season_without_years_holds_none(season: SeasonResult, audience: Audience) -> None:
    agent = season.season.agents[0].name
    assert years(season, agent, audience) == {}
    empty = RecordsByYear(range(2026, 2026), pd.DataFrame(), pd.DataFrame())
    assert years(replace(season, records_by_year={agent: empty}), agent, audience) == {}


def test_records_of_every_audience_can_be_written(season: SeasonResult) -> None:
    told, agent = _with_years(season, TREATED, [(0, 2024, "2024-06-30")])
    for audience in ("crew", "board", "public"):
        data = json.loads(json.dumps(records(told, agent, audience), allow_nan=False))
        assert data["years"]["releases"]["row"][:2] == [0, 1]
