"""The lines between sources and release sites that the page is handed."""

import json
import re
from dataclasses import replace
from itertools import accumulate, pairwise
from typing import Any

import pandas as pd
import pytest

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.feeding import Lines, feeding
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.tables import build_tables


def _on_the_page(season: SeasonResult, audience: Audience) -> Any:
    """Return what the page's scripts read."""
    page = build_page(season, build_tables(season, audience), audience)
    found = re.search(r'<script type="application/json" id="season-data">(.*?)</script>', page)
    assert found is not None
    return json.loads(found[1])


def _ends(lines: Lines) -> list[list[tuple[int, object]]]:
    """Return the rows and gaps at the other ends, row after row."""
    starts = [0, *accumulate(lines["counts"])]
    both = list(zip(lines["rows"], lines["gaps"], strict=True))
    return [both[first:last] for first, last in pairwise(starts)]


def _with_pairs(season: SeasonResult, *pairs: tuple[int, int, float, int | None, int | None]) -> SeasonResult:
    """Return the season with pairs of a release site and a source, given by their ranks from 0."""
    agent = season.season.agents[0].name
    release, source = (
        season.ranking(agent, role).ranked["site_id"].to_list() for role in ("release", "source")
    )
    table = pd.DataFrame(
        {
            "site_id": [release[pair[0]] for pair in pairs],
            "source_site_id": [source[pair[1]] for pair in pairs],
            "climate_gap": [pair[2] for pair in pairs],
            "source_order": pd.array([pair[3] for pair in pairs], dtype="Int64"),
            "site_order": pd.array([pair[4] for pair in pairs], dtype="Int64"),
        }
    )
    return replace(season, possible_sources={agent: table})


def test_lines_are_told_from_both_ends_in_the_order_of_the_rows(season: SeasonResult) -> None:
    told = feeding(
        _with_pairs(
            season,
            (2, 0, 0.98766, 1, 2),
            (0, 1, 0.5, 2, 1),
            (0, 0, 0.25, 1, 1),
            (1, 0, 3.0, None, 3),
            (1, 1, 2.0, 1, None),
        ),
        season.season.agents[0].name,
    )
    assert told is not None
    release, source = _ends(told["release"]), _ends(told["source"])
    assert release[:3] == [[(0, 0.25), (1, 0.5)], [(1, 2.0)], [(0, 0.9877)]]
    assert not any(release[3:])
    assert source[:2] == [[(0, 0.25), (2, 0.9877), (1, 3.0)], [(0, 0.5)]]
    agent = season.season.agents[0].name
    assert [len(release), len(source)] == [
        len(season.ranking(agent, role).ranked) for role in ("release", "source")
    ]


def test_a_season_that_measures_no_climate_gap_has_no_lines(season: SeasonResult) -> None:
    payload = _on_the_page(season, "public")
    assert payload["feeding"] == [None, None]
    assert payload["travel_km_per_hour"] is None


def test_an_agent_of_which_nothing_is_paired_has_rows_without_lines(season: SeasonResult) -> None:
    told = feeding(_with_pairs(season), season.season.agents[0].name)
    assert told is not None
    assert set(told["release"]["counts"]) == {0}
    assert told["release"]["rows"] == told["source"]["gaps"] == []


@pytest.mark.parametrize("audience", ["crew", "public"])
def test_the_first_line_of_each_release_site_is_the_best_source_of_its_table(
    sample: SeasonResult, audience: Audience
) -> None:
    tables = build_tables(sample, audience)
    checked = 0
    for agent in sample.season.agents:
        told = feeding(sample, agent.name)
        assert told is not None
        release, source = (
            table[(table["agent"] == agent.name) & (table["status"] == "ranked")].reset_index()
            for table in (tables["release"], tables["source"])
        )
        for row, ends in enumerate(_ends(told["release"])):
            site, best = release.loc[row, "site_id"], release.loc[row, "best_source_site_id"]
            gaps = [gap for _, gap in ends]
            assert gaps == sorted(gaps, key=float)
            assert len(ends) == min(6, len(source) - (site in set(source["site_id"])))
            if best == site:
                continue  # it is nothing away from itself, and a patch does not feed itself
            assert source.loc[ends[0][0], "site_id"] == best
            assert gaps[0] == release.loc[row, "best_source_climate_gap"]
            checked += 1
        assert {len(ends) for ends in _ends(told["source"])} <= {min(12, len(release)), 12}
    assert checked > 40


def test_the_speed_of_travel_is_that_of_the_season_file(sample: SeasonResult) -> None:
    payload = _on_the_page(sample, "crew")
    assert payload["travel_km_per_hour"] == sample.season.settings.scouting.travel_km_per_hour == 15
