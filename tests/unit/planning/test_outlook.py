"""What the season learns from its own catches, and what it expects of sites without one."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.scouting import ScoutingTable
from geo_scout.planning.outlook import release_outlook, source_outlook


def candidates(*releases, **columns):
    """Return candidates with catches of the given releases, known exactly; nan has none."""
    number = np.array(releases, dtype=float)
    frame = pd.DataFrame(
        {
            "presence_share": 1.0,
            "releases_low": number,
            "releases": number,
            "releases_high": number,
            "catch_per_hour": number * 10,
            "is_ranked": False,
        }
    )
    return frame.assign(**columns)


@pytest.fixture
def outlook(books):
    return lambda frame, profile=None, **table: source_outlook(
        frame, frame, books.agent(**(profile or {})), ScoutingTable.model_validate(table)
    )


def test_sites_without_a_catch_are_taken_for_what_the_catches_were(outlook):
    """Three of four fill one or more: (3 + 1) / (4 + 2) = 2/3, filling (1 + 2 + 6) / 3 = 3."""
    found = outlook(candidates(0.5, 1.0, 2.0, 6.0, np.nan, presence_share=0.6))
    assert found.state_share[4].tolist() == pytest.approx([0.4, 0.2, 0.4])
    assert found.payoff[4].tolist() == [0.0, 0.0, 3.0]
    assert found.basis[:2] == (
        "Share of places with the agent that can fill a release: 0.67, from the season's own catches, 3 of 4, as "
        "(k + 1) / (n + 2).",
        "A source without a count fills 3.0 releases, the mean of the catches that fill one or more, 3 of them.",
    )


def test_what_the_season_states_counts_before_what_it_learns(outlook):
    found = outlook(candidates(2.0, np.nan), enough_share=0.25, source_releases=5.0, crew_day_releases=0.0)
    assert found.state_share[1].tolist() == [0.0, 0.75, 0.25]
    assert found.payoff[1, 2] == 5.0
    assert found.elsewhere == 0.0
    assert found.missing == ""


def test_a_crew_day_elsewhere_is_the_mean_of_the_ranked_catches(outlook):
    found = outlook(candidates(1.0, 4.0, 9.0, is_ranked=[True, True, False]))
    assert found.elsewhere == 2.5
    assert (
        "A crew-day elsewhere fills 2.5 releases, the mean of the ranked sources with a catch, 2 of them."
        in (found.basis)
    )
    assert outlook(candidates(1.0, 4.0)).missing.startswith(
        "nothing to value it against: fewer than two ranked"
    )


def test_no_catch_and_no_statement_leaves_it_unknown(outlook):
    found = outlook(candidates(np.nan, np.nan), crew_day_releases=1.0)
    assert not found.is_known.any()
    only_few = outlook(candidates(0.2, np.nan), crew_day_releases=1.0)
    assert only_few.is_known.tolist() == [True, False]  # what a filling source fills is still unknown


def test_no_more_than_may_be_taken_is_counted_on(outlook):
    profile = {"collecting": {"max_take": 600}, "release": {"number_per_release": 200}}
    wide = candidates(2.0).assign(releases_low=0.5, releases_high=8.0)
    free, capped = outlook(wide).payoff[0, 2], outlook(wide, profile).payoff[0, 2]
    assert 1.0 < capped < 3.0 < free


def test_counts_at_two_known_rates_are_misread_as_poisson_counts_are(outlook, books):
    """1 and 4 per hour in one hour: from 3 on it is called enough, 0.0803 and 0.2381 (see misread_shares)."""
    sign = books.agent(
        signs=[
            {
                "name": "adults", "methods": ["net"], "first_day": "06-01", "last_day": "07-01", "found_share": 0.5,
                "wrong_share": 0.1, "effort_hours": 1.0,
            }
        ]
    ).signs[0]  # fmt: skip
    found = outlook(candidates(0.1, 4.0, catch_per_hour=[1.0, 4.0]))
    assert found.catch_rates == (1.0, 4.0)
    assert found.seen_share(sign) == pytest.approx(
        np.array([[0.9, 0.1, 0.0], [0.5, 0.5 * 0.9197, 0.5 * 0.0803], [0.5, 0.5 * 0.2381, 0.5 * 0.7619]]),
        abs=5e-5,
    )
    assert "counts at 1.0 and 4.0 per person-hour do" in found.basis[-1]
    rightly = outlook(candidates(4.0))
    assert rightly.seen_share(sign).tolist() == [[0.9, 0.1, 0.0], [0.5, 0.5, 0.0], [0.5, 0.0, 0.5]]


def test_a_release_site_is_worth_its_score_where_the_agent_does_not_live():
    frame = pd.DataFrame(
        {
            "presence_share": [0.3, 0.3],
            "score_if_free": [0.8, 0.6],
            "purpose": ["new", "supplement"],
            "is_closed": [False, False],
        }
    )
    found = release_outlook(frame, ScoutingTable(release_sites=4))
    assert found.state_share.tolist() == [[0.7, 0.3], [0.7, 0.3]]
    assert found.payoff.tolist() == [[0.8, 0.0], [0.6, 0.6]]
    assert (found.places, found.elsewhere, found.unit) == (4, 0.0, "score")


def test_one_site_is_one_site(outlook):
    assert (
        "The season collects at 1 site (collecting_sites)."
        in outlook(candidates(2.0), collecting_sites=1).basis
    )
    frame = candidates(np.nan).assign(score_if_free=0.5, purpose="", is_closed=False)
    assert (
        release_outlook(frame, ScoutingTable(release_sites=1))
        .basis[0]
        .startswith("The season fills 1 site (release_sites); ")
    )
