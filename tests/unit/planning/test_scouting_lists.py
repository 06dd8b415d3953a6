"""From records to a list of visits; the arithmetic stands beside each number."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.scouting import SCOUTING_COLUMNS
from geo_scout.outputs.scouting import scouting_lines

KNOWN = {"crew_day_releases": 1.5, "source_releases": 4.0, "enough_share": 1.0}


def told(one, *columns):
    return one.table[list(columns)].to_numpy().tolist()


def test_the_example_of_the_design_comes_out_with_its_words(scout, site):
    """0.33 x 0.6 x (4 - 1.5) = 0.495 for B; A is worth its day even unseen; hours are those of looking."""
    visits = scout(
        site("A", presence_share=0.67, state="likely", last_visit="2023-06-01"),
        site("B", presence_share=0.33, state="possible", last_visit="2023-06-01"),
        **KNOWN,
    )
    assert visits.table.columns.tolist() == list(SCOUTING_COLUMNS)
    assert told(visits, "visit_order", "site_id", "state")[0] == [1, "B", "possible"]
    assert visits.table["visit_worth"].tolist() == pytest.approx([0.495, 0.0])
    assert visits.table["worth_per_hour"].tolist() == pytest.approx([0.495, 0.0])
    assert visits.table["why"].tolist() == [
        "not visited since 2023; one chance in three that it holds agents for about 4 releases; finding it in "
        "number would bring it a crew-day",
        "no visit can change what the season does here: it is worth a crew-day whatever a visit finds (two "
        "chances in three that it holds agents for about 4 releases)",
    ]
    assert pd.isna(visits.table["visit_order"][1])
    assert visits.basis == (
        "Share of places with the agent that can fill a release: 1.00 (enough_share).",
        "A source without a count fills 4.0 releases (source_releases).",
        "A crew-day elsewhere fills 1.5 releases (crew_day_releases).",
        "A visit that finds it is taken to tell few from enough rightly: no catches of both kinds are on record.",
    )


def test_what_to_look_for_and_when_stands_beside_each_visit(scout, site):
    visits = scout(
        site("A", presence_share=0.3, crew="Yard", crew_distance_km=6.0), **KNOWN, travel_km_per_hour=24.0
    )
    row = visits.table.iloc[0]
    assert row[["sign", "methods", "found_share", "crew"]].tolist() == ["adults", "sweep net", 0.6, "Yard"]
    assert row["sign_first_day"] == pd.Timestamp("2027-06-01")
    assert row["sign_last_day"] == pd.Timestamp("2027-07-15")
    # One hour of looking, and twice 6 km at 24 km/h.
    assert row["visit_hours"] == 1.5
    assert row["releases_if_enough"] == 4.0
    assert row["enough_share"] == 1.0
    assert row["worth_unit"] == "releases"


def test_the_nearer_of_two_equal_sites_comes_first(scout, site):
    visits = scout(
        site("A", presence_share=0.3, crew_distance_km=30.0),
        site("B", presence_share=0.3, crew_distance_km=3.0),
        **KNOWN,
        travel_km_per_hour=20.0,
    )
    assert visits.table["site_id"].tolist() == ["B", "A"]


@pytest.mark.parametrize("code", ["legal-forbidden", "permission-refused", "land-forbidden"])
@pytest.mark.parametrize("role", ["source", "release"])
def test_nobody_is_sent_where_nobody_may_go(scout, site, role, code):
    visits = scout(
        site("A", presence_share=0.3),
        site("B", presence_share=0.3),
        role=role,
        codes=[("A", code)],
        release_sites=1,
        **KNOWN,
    )
    assert visits.table["site_id"].tolist() == ["B"]


def test_a_site_left_out_for_another_reason_is_listed_as_worth_nothing(scout, site):
    visits = scout(site("A", presence_share=0.3), codes=[("A", "too-small")], **KNOWN)
    assert told(visits, "visit_worth", "why") == [
        [
            0.0,
            "no visit can change what the season does here: it is left out whatever a visit here finds (too-small)",
        ]
    ]


def test_without_signs_nothing_is_valued_and_nothing_guessed(scout, site):
    visits = scout(site("A", presence_share=0.3), signs=(), **KNOWN)
    row = visits.table.iloc[0]
    assert row["why"] == "not valued: the profile states no sign to look for"
    assert row[["sign", "methods"]].tolist() == ["", ""]
    assert row[["visit_worth", "visit_hours", "worth_per_hour", "found_share"]].isna().all()
    assert row[["visit_order", "sign_first_day"]].isna().all()
    assert row["what_to_check"] != ""


def test_with_nothing_to_value_against_the_list_says_what_to_set(scout, site):
    for role, setting in (("source", "crew_day_releases"), ("release", "release_sites")):
        visits = scout(site("A", presence_share=0.3), role=role)
        assert visits.table["visit_worth"].isna().all()
        assert visits.table["why"][0].startswith("not valued: nothing to value it against: ")
        assert f"set {setting} in [scouting]" in visits.table["why"][0]
        assert any(
            line.startswith("Nothing to value it against") and setting in line for line in visits.basis
        )


def test_a_source_without_a_count_is_not_valued_before_anything_is_known_of_sources(scout, site):
    visits = scout(site("A", presence_share=0.3), crew_day_releases=1.5)
    assert visits.table["why"].tolist() == [
        "not valued: what a source without a count fills is not known (source_releases and enough_share)"
    ]
    assert visits.basis[0].startswith("What a source without a count fills is not known: record counts")


def test_release_sites_are_looked_over_where_a_find_would_send_the_agents_elsewhere(scout, site):
    """Two sites, one place. A: 0.9 free with 0.7, so 0.63; B: 0.5, free for sure.

    A found occupied, 0.3 x 0.6 = 0.18, saves the 0.5 of B: 0.09. B is never displaced by looking at it.
    """
    visits = scout(
        site("A", presence_share=0.3, latest_release="2019-06-01"),
        site("B", presence_share=0.0),
        role="release",
        scores=[0.9, 0.5],
        release_sites=1,
    )
    assert told(visits, "site_id", "worth_unit", "why") == [
        [
            "A",
            "score",
            "never visited since the release of 2019; three chances in ten that the agent lives here already; a find "
            "would keep the agents for another site",
        ],
        [
            "B",
            "score",
            "no visit can change what the season does here: no release, find or spread on record could have brought "
            "the agent here",
        ],
    ]
    assert visits.table["visit_worth"].tolist() == pytest.approx([0.09, 0.0])
    assert visits.table[["releases_if_enough", "enough_share"]].isna().all(axis=None)


def test_a_supplement_needs_no_look_for_the_agent(scout, site):
    visits = scout(
        site("A", presence_share=0.5, purpose="supplement"),
        site("B", presence_share=0.5),
        role="release",
        release_sites=1,
    )
    why = dict(zip(visits.table["site_id"], visits.table["why"], strict=True))
    assert why["A"].endswith("a supplement may be released whether the agent lives here or not")


def test_a_confirmed_source_with_an_old_catch_is_worth_a_look(scout, site):
    """Between 0.5 and 8 releases the middle is 2 and the deviation of the logarithm ln 16 / 2.5631 = 1.0817.

    One release or more: Phi(ln 2 / 1.0817) = Phi(0.6408) = 0.739. Its mean: 2 exp(1.0817^2 / 2) = 3.590, times
    Phi(0.6408 + 1.0817) = 0.9575, over 0.739: 4.65.
    """
    visits = scout(
        site(
            "A",
            presence_share=1.0,
            state="confirmed",
            confirmed=True,
            catch_date="2021-06-14",
            catch_per_hour=40.0,
            releases_low=0.5,
            releases=2.0,
            releases_high=8.0,
        ),
        ranked=("A",),
        crew_day_releases=3.0,
    )
    row = visits.table.iloc[0]
    assert row["visit_worth"] > 0
    assert row["enough_share"] == pytest.approx(0.739, abs=5e-4)
    assert row["releases_if_enough"] == pytest.approx(4.65, abs=5e-3)
    assert row["why"].startswith(
        "last catch on 2021-06-14; seven chances in ten that it holds agents for about 4.7"
    )


def test_what_others_find_counts_once_places_are_few(scout, site):
    """Three alike, one place: 0.3 x 0.6 x 2.5 = 0.45 for the first. The second adds only where the first
    found nothing, 1 - 0.18 = 0.82 of its worth; the 200 draws hold 36 finds: 164 / 200 of 0.45 = 0.369."""
    visits = scout(*(site(one, presence_share=0.3) for one in "ABC"), collecting_sites=1, **KNOWN)
    assert visits.table["site_id"].tolist() == ["A", "B", "C"]
    assert visits.table["visit_worth"][:2].tolist() == pytest.approx([0.45, 0.369])
    assert visits.table["visit_worth"][2] == pytest.approx(0.45 * 0.82**2, abs=0.03)  # draws of two visits
    assert visits.basis[-1].startswith("Each visit's worth is what it adds to the visits above it")
    assert visits.table["why"][0].endswith("finding it in number would make it the source that promises most")


def test_a_site_of_unknown_presence_is_not_valued(scout, site):
    visits = scout(site("A", presence_share=np.nan), **KNOWN)
    assert visits.table["why"].tolist() == ["not valued: the chance that the agent lives here is not known"]


@pytest.mark.parametrize("signs", [(), None])
@pytest.mark.parametrize("role", ["source", "release"])
def test_where_nobody_may_go_anywhere_the_list_is_empty(scout, site, role, signs):
    given = {} if signs is None else {"signs": signs}
    for places in ({}, {"collecting_sites": 2, "release_sites": 2}):
        closed = [("A", "permission-refused")]
        visits = scout(site("A", presence_share=0.3), role=role, codes=closed, **given, **KNOWN, **places)
        assert visits.table.empty
        assert visits.table.columns.tolist() == list(SCOUTING_COLUMNS)
        assert visits.table[["why", "what_to_check"]].dtypes.tolist() == [object, object]
        assert scouting_lines(visits, 5)[0].endswith(": 0 of 0 possible visits")


@pytest.mark.parametrize(
    ("limit", "worth", "why"),
    [
        # Not found with the chance 0.5 + 0.5 x 0.4 = 0.7; the agent is then there with 0.2 / 0.7 = 0.29, and the
        # score of 0.6 counts 0.6 x 0.5 / 0.7. Unseen the site stays left out: 0.7 x 0.6 x 0.5 / 0.7 = 0.3.
        (0.3, 0.3, "never visited; even chances that the agent lives here already; finding nothing would "
                   "bring it among the 3 release sites that promise most"),
        (0.2, 0.0, "no visit can change what the season does here: no visit of this length would bring the "
                   "chance of the agent down to max_wasted_share"),
    ],
)  # fmt: skip
def test_a_site_left_out_as_likely_occupied_comes_back_where_a_visit_can_clear_it(
    scout, site, limit, worth, why
):
    visits = scout(
        site("A", presence_share=0.5),
        role="release",
        codes=[("A", "agent-inferred")],
        scores=[0.6],
        rules={"max_wasted_share": limit},
        release_sites=3,
    )
    assert visits.table["visit_worth"].tolist() == pytest.approx([worth])
    assert visits.table["why"].tolist() == [why]
