from dataclasses import replace

import pytest

from geo_scout.model.season import SeasonSettings
from geo_scout.ranking import find_inconsistent
from geo_scout.ranking.weigh import weigh
from geo_scout.ranking.weight_words import times_words, weighing_lines

RELEASE = {name: {} for name in ("host_area", "host_cover", "crew_distance", "climate_gap")}
# Saaty 2003: all but the first against the third agree.
ONE_OFF = (
    ("host_area", "host_cover", 2), ("host_area", "crew_distance", 1), ("host_area", "climate_gap", 8),
    ("host_cover", "crew_distance", 2), ("host_cover", "climate_gap", 4), ("crew_distance", "climate_gap", 2),
)  # fmt: skip


@pytest.fixture(name="judged")
def judged_season(books):
    def make(rows, **more):
        season = books.season(criteria={"release": RELEASE})
        told = [{"more": more_, "than": than, "times": times} for more_, than, times in rows]
        given = season.settings.model_dump(by_alias=True, exclude_none=True)
        given["weights"] = {"release": {"judgements": told, **more}}
        return replace(season, settings=SeasonSettings.model_validate(given))

    return make


def test_nothing_is_said_where_nothing_is_judged(books):
    assert find_inconsistent(books.season()) == ()


def test_judgements_that_agree_are_a_note(judged):
    rows = [(more, than, 4 if (more, than) == ONE_OFF[1][:2] else times) for more, than, times in ONE_OFF]
    [found] = find_inconsistent(judged(rows))
    assert (found.grade, found.layer, found.feature) == ("note", "weights", "")
    assert found.what.startswith(
        "the judgements of [weights.release]: consistency ratio 0.0000, accepted (up to 0.10)"
    )


def test_judgements_that_contradict_are_a_caution_with_the_way_to_mend_them(judged):
    # With 9 against the 4 that the others say, or a ninth of it, the judgements no longer agree.
    rows = [(more, than, 0.2 if (more, than) == ONE_OFF[1][:2] else times) for more, than, times in ONE_OFF]
    season = judged(rows)
    [found] = find_inconsistent(season)
    [note] = weigh(season.settings.criteria.of("release"), season.settings.weights.release).consistency
    assert (found.code, found.grade) == ("judgements-inconsistent", "caution")
    assert f"consistency ratio {note.ratio:.4f}, not accepted" in found.what
    assert "random index 0.90 of the table saaty_1980" in found.what
    assert found.fix.startswith("host_area is judged 0.2 times as important as crew_distance;")
    assert found.fix.endswith(
        'with {more = "host_area", than = "crew_distance", times = 4} the ratio would be 0.0000.'
    )


def test_the_lines_of_explain_hold_groups_and_ratio(judged):
    season = judged([("all", "gap", 3)], groups={
        "all": {"criteria": ["host_area", "host_cover", "crew_distance"]}, "gap": {"criteria": ["climate_gap"]},
    })  # fmt: skip
    weighing = weigh(season.settings.criteria.of("release"), season.settings.weights.release)
    assert list(weighing_lines(weighing)) == [
        "Weights, groups by comparing two at a time (principal eigenvector); inside all as stated with each "
        "criterion, summing to 1",
        "  all 0.750000: host_area 0.375000, host_cover 0.125000, crew_distance 0.250000",
        "  gap 0.250000: climate_gap 0.250000",
        "  judgements: 2 names cannot contradict each other (consistency ratio 0)",
    ]


def test_a_judgement_below_one_keeps_its_number():
    assert times_words(1 / 3) == "0.333 times as important as"
