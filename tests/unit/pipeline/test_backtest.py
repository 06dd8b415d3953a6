"""The backtest through the rooms, on drawn programmes whose driver is known, or that have none."""

import numpy as np
import pytest

from geo_scout.model.backtest import ALL, DISTRICTS, LARGEST, LATER, NEAREST, SCORE
from geo_scout.outputs import tell_backtest
from geo_scout.outputs.backtest_picture import backtest_svg
from geo_scout.pipeline.backtest import backtest_layers
from tests import programmes as made
from tests import sites_frames as frames


def assessed(seed, driver, count=84):
    result = backtest_layers(made.season(), made.programme(seed, count, driver))
    one = result.assessments[0]
    every = one.skill[one.skill["split"] == ALL].set_index("rule")
    return result, one, every


def test_a_planted_driver_is_found():
    """Establishment hangs on infested hectares: they and the score, half of which they are, stand out."""
    result, one, every = assessed(1, "host_area")
    assert one.established + one.failed == 84
    assert one.conclusion == "better"
    assert every.loc["host_area", "conclusion"] == every.loc[LARGEST, "conclusion"] == "better"
    assert every["auc_share"].drop(SCORE).idxmax() in ("host_area", LARGEST)
    assert every.loc[NEAREST, "conclusion"] == "none"
    best = one.weights.set_index("criterion")
    assert best["weight_share"].idxmax() == "host_area"
    held_out = one.skill[(one.skill["rule"] == SCORE) & one.skill["split"].isin([DISTRICTS, LATER])]
    assert (held_out["brier"] < held_out["brier_of_share"]).all()
    assert one.calibration["release_count"].sum() == 84
    assert one.calibration_split == DISTRICTS
    assert result.has_cases


def test_where_nothing_drives_nothing_is_found():
    """By chance one score in twenty would stand out; this one does not, and no criterion does."""
    _, one, every = assessed(1, "")
    assert one.conclusion in ("none", "chance")
    assert set(every["conclusion"]) <= {"none", "chance", ""}
    assert len(one.weights) == 0


def test_scores_are_those_of_the_day():
    """The patch grew by a survey after the release: its score counts the hectare of the day."""
    weeds = [made.weed(0, "K1", "2012-06-01"), made.weed(0, "K2", "2019-06-01", size_m=200.0)]
    layers = frames.layers(
        infestations=weeds,
        releases=[made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2020-06-10")],
        visits=[made.visit(0, "v", "2017-07-01")],
    )
    cases = backtest_layers(made.season(), layers).cases.set_index("release_id")
    assert cases["infested_ha"].tolist() == pytest.approx([0.5, 2.0])
    assert cases["host_area_value"].tolist() == pytest.approx([0.1, 0.4])
    assert cases["label"].tolist() == ["failed", "unused"]


def test_a_place_that_was_not_mapped_yet_is_not_used():
    layers = frames.layers(
        infestations=[made.weed(0, "K1", "2016-06-01")],
        releases=[made.release(0, "R1", "2015-06-10")],
        visits=[made.visit(0, "v", "2017-07-01", found=True)],
    )
    row = backtest_layers(made.season(), layers).cases.iloc[0]
    assert (row["label"], row["reason"], row["site_id"]) == ("unused", "not-mapped", "")
    assert np.isnan(row["score"])


def test_undated_land_makes_its_criterion_missing_and_not_nought():
    season = made.season()
    land = {"preferred_land": {"weight": 1.0}}
    criteria = type(season.settings.criteria).model_validate({"release": made.CRITERIA | land})
    season = type(season)(
        season.path,
        season.settings.model_copy(update={"criteria": criteria}),
        season.agents,
        season.as_of,
        season.given,
    )
    layers = frames.layers(
        infestations=[made.weed(0, "K1")],
        releases=[made.release(0, "R1", "2015-06-10")],
        visits=[made.visit(0, "v", "2017-07-01", found=True)],
        land_classes=[frames.row(frames.square(0), **{"class": "pasture"})],
    )
    row = backtest_layers(season, layers).cases.iloc[0]
    assert np.isnan(row["preferred_land_value"])
    assert row["score_high"] - row["score_low"] == pytest.approx(0.5)


def test_ground_where_a_survey_had_found_no_host_is_no_patch():
    layers = frames.layers(
        infestations=[
            made.weed(0, "K1", "2012-06-01", result="none found"),
            made.weed(0, "K2", "2019-06-01"),
        ],
        releases=[made.release(0, "R1", "2015-06-10"), made.release(0, "R2", "2020-06-10")],
        visits=[made.visit(0, "v", "2017-07-01", found=True)],
    )
    cases = backtest_layers(made.season(), layers).cases
    assert cases["reason"].tolist() == ["not-mapped", "another-first"]


def test_an_agent_without_releases_is_told_as_one():
    other = frames.agent("leaf beetle")
    season = made.season()
    season = type(season)(season.path, season.settings, (*season.agents, other), season.as_of, season.given)
    layers = frames.layers(
        infestations=[made.weed(0, "K1")],
        releases=[made.release(0, "R1", "2015-06-10")],
        visits=[made.visit(0, "v", "2017-07-01", found=True)],
    )
    result = backtest_layers(season, layers)
    assert [(one.agent, one.established, one.conclusion) for one in result.assessments] == [
        (frames.AGENT, 1, "none"),
        ("leaf beetle", 0, "none"),
    ]
    assert "leaf beetle: 0 releases, 0 used" in tell_backtest(result)
    assert "leaf beetle" in backtest_svg("t", result)
