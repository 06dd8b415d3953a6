"""What a visit could have seen: method, hours, season, age of the release, voucher."""

import numpy as np
import pytest

from geo_scout.evidence.signs import (
    MISDATED,
    NO_EFFORT,
    NO_SIGN,
    NOT_LOOKED,
    OUT_OF_SEASON,
    SPEAKS,
    TOO_YOUNG,
    judge_visits,
)

NET = {
    "name": "adults in the net",
    "methods": ["sweep net", "visual search"],
    "first_day": "06-01",
    "last_day": "08-15",
    "found_share": {"value": 0.5, "low": 0.4, "high": 0.6},
    "effort_hours": 2.0,
    "wrong_share": {"value": 0.1, "low": 0.0, "high": 0.2},
}
LARVAE = {
    "name": "larvae in stems",
    "methods": ["visual search"],
    "first_day": "11-15",
    "last_day": "02-10",
    "found_share": 0.75,
    "effort_hours": 1.0,
}


@pytest.fixture
def judge(frames):
    """Return what one visit could see, as a row of the sightings."""

    def run(
        date="2020-07-01",
        latest="NaT",
        named="NaT",
        blank=None,
        signs=(NET, LARVAE),
        establishment=None,
        **columns,
    ):
        row = frames.row(frames.point(50), visit_id="v", date=date, **columns)
        establishment = {"prior_share": 0.5, "first_detectable_years": 1.0} | (establishment or {})
        agent = frames.agent(establishment=establishment, signs=list(signs))
        latest_release = np.array([latest], dtype="datetime64[D]")
        named_release = np.array([named], dtype="datetime64[D]")
        seen = judge_visits(frames.layer("visits", [row]), latest_release, named_release, agent, blank)
        return (
            int(seen.sign[0]),
            seen.found_share[0].round(6).tolist(),
            seen.wrong_share[0].tolist(),
            seen.silent[0],
        )

    return run


def test_the_chance_of_finding_grows_with_the_hours(judge):
    # 1 - (1 - d)^(4 / 2) with d = 0.4, 0.5, 0.6: 1 - 0.36, 1 - 0.25, 1 - 0.16
    assert judge(method="sweep net", effort_hours=4.0) == (0, [0.64, 0.75, 0.84], [0.0, 0.1, 0.2], SPEAKS)


def test_capitals_and_blanks_of_a_method_do_not_matter(judge):
    assert judge(method=" Sweep  NET ", effort_hours=2.0)[1] == [0.4, 0.5, 0.6]


@pytest.mark.parametrize("date", ["2020-05-31", "2020-08-16"])
def test_out_of_season_nothing_can_be_seen(judge, date):
    assert judge(date, method="sweep net", effort_hours=2.0) == (0, [0, 0, 0], [0.0, 0.1, 0.2], OUT_OF_SEASON)


@pytest.mark.parametrize("date", ["2020-06-01", "2020-08-15"])
def test_both_ends_of_the_season_count(judge, date):
    assert judge(date, method="sweep net", effort_hours=2.0)[3] == SPEAKS


@pytest.mark.parametrize(("date", "sign"), [("2020-07-01", 0), ("2020-12-24", 1), ("2021-02-10", 1)])
def test_of_several_signs_the_one_to_be_seen_that_day_is_taken(judge, date, sign):
    assert judge(date, method="visual search", effort_hours=1.0)[0] == sign


def test_of_several_to_be_seen_the_surest_is_taken(judge):
    other = LARVAE | {"first_day": "06-15", "last_day": "07-15"}
    assert judge(method="visual search", effort_hours=1.0, signs=(NET, other))[:2] == (1, [0.75] * 3)


def test_the_sign_a_visit_names_decides(judge):
    named = {"method": "sweep net", "effort_hours": 1.0, "sign": "Larvae in stems"}
    assert judge(**named)[0::3] == (1, OUT_OF_SEASON)
    assert judge("2020-12-24", **named)[:2] == (1, [0.75] * 3)
    assert judge(method="sweep net", effort_hours=2.0, sign="something else")[0] == 0


def test_what_is_not_known_is_said(judge):
    assert np.isnan(judge(method="pheromone trap", effort_hours=2.0)[1]).all()
    assert judge(method="pheromone trap", effort_hours=2.0)[0::3] == (-1, NO_SIGN)
    assert np.isnan(judge(method="sweep net")[1]).all()
    assert judge(method="sweep net")[3] == NO_EFFORT
    assert judge(method="sweep net", blank=2.0) == (0, [0.4, 0.5, 0.6], [0.0, 0.1, 0.2], SPEAKS)


def test_without_effort_nothing_can_be_found(judge):
    assert judge(method="sweep net", effort_hours=0.0)[1::2] == ([0, 0, 0], NOT_LOOKED)
    certain = NET | {"found_share": 1.0}
    assert judge(method="sweep net", effort_hours=0.0, signs=(certain,))[1] == [0, 0, 0]


@pytest.mark.parametrize(("latest", "silent"), [("2019-07-03", TOO_YOUNG), ("2019-07-01", SPEAKS)])
def test_a_release_too_young_cannot_be_seen(judge, latest, silent):
    found = judge(latest=latest, method="sweep net", effort_hours=2.0)
    assert found[3] == silent
    assert found[1] == ([0.4, 0.5, 0.6] if silent == SPEAKS else [0, 0, 0])


@pytest.mark.parametrize("voucher", ["", "no", "None", " 0 ", "FALSE"])
def test_words_that_are_no_voucher(judge, voucher):
    assert judge(method="sweep net", effort_hours=2.0, voucher=voucher)[2] == [0.0, 0.1, 0.2]


def test_with_a_voucher_nothing_is_mistaken(judge):
    assert judge(method="sweep net", effort_hours=2.0, voucher="HB 1204")[2] == [0, 0, 0]


def test_a_visit_dated_before_the_release_it_names_says_nothing(judge):
    sign, found_share, _, silent = judge(method="sweep net", effort_hours=2.0, named="2020-07-02")
    assert (sign, found_share, silent) == (0, [0.0, 0.0, 0.0], MISDATED)
    assert judge(method="sweep net", effort_hours=2.0, named="2020-07-01")[3] == SPEAKS
