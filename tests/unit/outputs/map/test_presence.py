"""What the map holds of whether the agent lives in each patch."""

from dataclasses import replace

import pandas as pd

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map.presence import percents, presence


def _told(data: dict[str, object], name: str) -> list[str]:
    once = data[name]
    assert isinstance(once, dict)
    return [once["texts"][row] for row in once["row"]]


def test_each_patch_has_its_state_its_chance_and_the_way_from_the_nearest_population(
    season: SeasonResult,
) -> None:
    agent = season.season.agents[0].name
    sites = season.evidence[agent].sites
    data = presence(season, agent, "crew")
    assert _told(data, "state") == sites["state"].tolist()
    assert data["year"] == [2024] * len(sites)
    assert data["population_km"] == sites["population_distance_km"].tolist()
    assert _told(data, "gap_crossed") == sites["gap_crossed"].tolist()
    expected = {"confirmed": [80, 100, 100], "possible": [30, 50, 70]}
    low, best, high = data["percent"]  # type: ignore[misc]
    assert [list(one) for one in zip(low, best, high, strict=True)] == [expected[s] for s in sites["state"]]


def test_what_a_state_rests_on_is_told_once_and_not_to_the_public(season: SeasonResult) -> None:
    agent = season.season.agents[0].name
    crew, public = (presence(season, agent, audience) for audience in ("crew", "public"))
    assert set(_told(crew, "basis")) == {"release of 2020, herbicide T4"}
    assert crew["basis"]["texts"] == ["release of 2020, herbicide T4"]  # type: ignore[index]
    assert set(_told(public, "basis")) == {""}
    assert "herbicide" not in str(public)


def test_a_season_without_presence_holds_none(season: SeasonResult) -> None:
    agent = season.season.agents[0].name
    old = season.evidence[agent]
    bare = replace(old, sites=old.sites.drop(columns=["state"]))
    assert presence(replace(season, evidence={**season.evidence, agent: bare}), agent, "crew") == {}


def test_only_what_is_certain_is_0_or_100() -> None:
    shares = pd.Series([0.0, 1e-9, 0.0049, 0.005, 0.344, 0.346, 0.995, 0.9951, 1.0])
    assert percents(shares) == [0, 0.5, 0.5, 0.5, 34, 35, 99.5, 99.5, 100]
