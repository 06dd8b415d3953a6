"""The backtest as files: columns, audiences, words that say no more than the numbers, a picture that is XML."""

import csv
import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from geo_scout.errors import OutputsBlocked
from geo_scout.model.backtest import CASE_COLUMNS, DISTRICTS, SCORE, SEARCHED, SKILL_COLUMNS, WEIGHT_COLUMNS
from geo_scout.outputs import RunLog, tell_backtest, write_backtest
from geo_scout.outputs.backtest_picture import backtest_svg
from geo_scout.outputs.backtest_words import conclusion_words
from geo_scout.outputs.swap import BACKTEST_FILES
from geo_scout.pipeline.backtest import backtest_layers
from tests import programmes as made
from tests import sites_frames as frames


@pytest.fixture(scope="module")
def driven():
    return backtest_layers(made.season(), made.programme(1, 48, "host_area"))


@pytest.fixture(scope="module")
def few():
    """Two places, one of them sprayed before anybody could tell."""
    sprayed = frames.row(
        frames.square(-50, -50, 300),
        treatment_id="T1",
        kind="herbicide",
        start="2016-05-01",
        end="2016-05-01",
    )
    season = made.season()
    records = season.settings.records.model_copy(update={"loss_kinds": ("herbicide",)})
    season = replace(season, settings=season.settings.model_copy(update={"records": records}))
    layers = frames.layers(
        infestations=[made.weed(0, "K1"), made.weed(5000, "K2")],
        releases=[made.release(0, "R1", "2015-06-10"), made.release(5000, "R2", "2015-06-10")],
        visits=[made.visit(0, "v", "2018-07-01"), made.visit(5000, "w", "2018-07-01", found=True)],
        treatments=[sprayed],
    )
    return backtest_layers(season, layers)


def rows(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_the_files_hold_what_they_say(driven, tmp_path):
    folder = tmp_path / "b"
    write_backtest(driven, folder, "crew", RunLog())
    assert {path.name for path in folder.iterdir()} == BACKTEST_FILES
    cases, skill = rows(folder / "backtest.csv"), rows(folder / "backtest_skill.csv")
    assert len(cases) == 48
    assert tuple(cases[0])[: len(CASE_COLUMNS)] == CASE_COLUMNS
    assert tuple(cases[0])[len(CASE_COLUMNS) :] == (
        "host_area_ha", "host_area_value", "host_cover_pct", "host_cover_value", "crew_distance_value",
    )  # fmt: skip
    assert tuple(skill[0]) == SKILL_COLUMNS
    assert len(skill) == 5 * (1 + 3 + 2 + 1)
    assert tuple(rows(folder / "backtest_weights.csv")[0]) == WEIGHT_COLUMNS
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    assert (manifest["written_by"], manifest["what"]) == ("geo_scout", "backtest")
    assert "scikit-learn" in manifest["libraries"]
    assert (folder / "backtest.txt").read_text(encoding="utf-8") == tell_backtest(driven) + "\n"


def test_an_equal_backtest_has_equal_bytes_and_replaces_the_earlier_one(driven, few, tmp_path):
    folder = tmp_path / "b"
    write_backtest(few, folder, "crew", RunLog())
    assert "backtest_weights.csv" not in {path.name for path in folder.iterdir()}
    kept = []
    for _ in range(2):
        write_backtest(driven, folder, "crew", RunLog())
        kept.append({p.name: p.read_bytes() for p in folder.iterdir() if p.name != "run_log.json"})
    assert kept[0] == kept[1]
    write_backtest(few, folder, "crew", RunLog())
    assert "backtest_weights.csv" not in {path.name for path in folder.iterdir()}


def test_a_folder_of_something_else_is_not_replaced(few, tmp_path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputsBlocked, match="holds files geo_scout did not write"):
        write_backtest(few, tmp_path, "crew", RunLog())


def test_public_copies_do_not_tell_of_treatments(few, tmp_path):
    for audience, told in (("crew", "destroyed"), ("public", "untold")):
        folder = tmp_path / audience
        write_backtest(few, folder, audience, RunLog())
        reasons = {row["release_id"]: row["reason"] for row in rows(folder / "backtest.csv")}
        assert reasons == {"R1": told, "R2": "found"}
        texts = "".join(
            (folder / name).read_text(encoding="utf-8")
            for name in ("backtest.csv", "backtest.txt", "backtest.svg")
        )
        assert ("destroyed" in texts) == (audience == "crew")


def test_no_position_is_told_to_anybody(driven, tmp_path):
    write_backtest(driven, tmp_path / "b", "crew", RunLog())
    assert not [name for name in rows(tmp_path / "b" / "backtest.csv")[0] if re.search("_deg$|_m$|utm", name)]


def test_few_outcomes_say_that_nothing_can_be_concluded_and_how_many_more_it_takes(few):
    words = tell_backtest(few)
    assert "stem weevil: 2 releases, 1 used: 1 established, 0 failed" in words
    assert conclusion_words(few.assessments[0]) == (
        "No conclusion is possible: 1 established and 0 failed, and at least 10 of each are needed. How many releases "
        "that takes, nobody can tell before both outcomes were seen; a failure is told only by visits long enough to "
        "find what the profile's [[signs]] say can be found."
    )
    assert "All that are used came out the same, so nothing tells one rule from another." in words
    assert "Selection:" in words


def test_what_is_said_of_the_score_is_in_the_table(driven):
    one = driven.assessments[0]
    words = conclusion_words(one)
    assert words.startswith("The score told outcomes better than chance")
    first = one.skill.iloc[0]
    shown = [round(100 * first[name]) for name in ("auc_share", "auc_low_share", "auc_high_share")]
    assert [int(number) for number in re.findall(r"\d+", words)] == shown


def test_what_was_told_against_what_was_seen_is_a_line_for_each_group(driven):
    one = driven.assessments[0]
    words = tell_backtest(driven)
    assert "  Told and seen, each district by the others:" in words
    told = re.findall(r"told +(\d+) %: (\d+) of (\d+) established, (\d+) % ", words)
    assert len(told) == len(one.calibration) == 5
    for (chance, some, every, share), row in zip(told, one.calibration.itertuples(), strict=True):
        assert (int(some), int(every)) == (row.established_count, row.release_count)
        assert (int(chance), int(share)) == (
            round(100 * row.chance_share),
            round(100 * int(some) / int(every)),
        )


@pytest.mark.parametrize(
    ("conclusion", "said"),
    [
        ("worse", "worse than chance: an established release stood above"),
        ("chance", "no better than chance, to within 10 of a hundred pairs: an established"),
        ("none", "No conclusion is possible: an established release stood above a failed one in"),
    ],
)
def test_every_conclusion_has_its_words(driven, conclusion, said):
    one = replace(driven.assessments[0], conclusion=conclusion)
    assert said in conclusion_words(one)
    unsettled = replace(one, conclusion="none")
    assert "would settle it" in conclusion_words(replace(unsettled, needed_more=7))
    assert "More releases would narrow it." in conclusion_words(replace(unsettled, needed_more=0))
    told = conclusion_words(replace(unsettled, against=(DISTRICTS, SEARCHED)))
    area = one.skill[one.skill["rule"] == SCORE].set_index("split")["auc_share"]
    assert (
        f"but not clearly among releases of one district ({100 * area[DISTRICTS]:.0f} %) or among those whose"
        in told
    )


def test_the_picture_says_selection_in_words_and_draws_every_rule(driven, few):
    drawn = ET.fromstring(backtest_svg("A <b> & c", driven))
    texts = [one.text for one in drawn.iter("{http://www.w3.org/2000/svg}text")]
    assert any(text.startswith("Selection: only releases that somebody") for text in texts)
    assert {"score", "host_area", "nearest to a crew base", "by lot"} <= set(texts)
    told = [re.fullmatch(r"told \d+ %: (\d+) of (\d+)", text) for text in texts]
    counts = [(int(found[1]), int(found[2])) for found in told if found]
    one = driven.assessments[0]
    assert (sum(a for a, _ in counts), sum(b for _, b in counts)) == (one.established, 48)
    # Nothing is drawn of rules that nothing tells apart.
    assert "score" not in [one.text for one in ET.fromstring(backtest_svg("t", few)).iter()]


def test_the_picture_has_a_stroke_for_every_scored_release_at_its_score(driven, few):
    for result in (driven, few):
        drawn = ET.fromstring(backtest_svg("t", result))
        texts = [one.text for one in drawn.iter("{http://www.w3.org/2000/svg}text")]
        labels = result.cases["label"]
        for label, words in (("established", "established"), ("failed", "failed"), ("unused", "not used")):
            assert f"{(labels == label).sum()} {words}" in texts
        paths = [one.get("d") for one in drawn.iter("{http://www.w3.org/2000/svg}path")]
        strokes = [re.findall(r"M([\d.]+) \d+v14", path) for path in paths]
        left, right = 158, 380 - 12
        shown = sorted((float(at) - left) / (right - left) for one in strokes for at in one)
        np.testing.assert_allclose(shown, sorted(result.cases["score"]), atol=0.05 / (right - left) + 1e-9)
