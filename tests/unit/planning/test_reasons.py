"""Every reason once, with its whole words."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.criteria import WastedChance

KNOWN = {"crew_day_releases": 1.5, "source_releases": 4.0, "enough_share": 1.0}
WASTED = {"wasted_chance": WastedChance()}
NOTHING = "no visit can change what the season does here: "


def why_of(visits):
    return dict(zip(visits.table["site_id"], visits.table["why"], strict=True))


def test_where_nobody_was_it_says_since_when(scout, site):
    visits = scout(
        site("A", presence_share=0.3, last_visit="2024-07-01"),
        site("B", presence_share=0.3, last_visit="2026-07-01"),
        site("C", presence_share=0.3, latest_release="2019-06-01"),
        site("D", presence_share=0.3),
        **KNOWN,
    )
    assert [why_of(visits)[one].split("; ")[0] for one in "ABCD"] == [
        "not visited since 2024",
        "last visited on 2026-07-01",
        "never visited since the release of 2019",
        "never visited",
    ]


def test_a_find_that_can_only_spare_a_day_says_so(scout, site):
    """0.5 x 4 = 2 > 1.5 unseen; not found at 0.6: 0.2 x 4 / 0.7 = 1.14 < 1.5."""
    visits = scout(site("A", presence_share=0.5), **KNOWN)
    assert visits.table["visit_worth"][0] == pytest.approx(0.7 * (1.5 - 0.8 / 0.7))
    assert visits.table["why"][0] == (
        "never visited; even chances that it holds agents for about 4 releases; finding none or few would spare a "
        "wasted crew-day"
    )


@pytest.mark.parametrize(
    ("given", "settings", "words"),
    [
        (
            {"presence_share": 0.3},
            {**KNOWN, "source_releases": 1.2},
            "even in number it would fill about 1.2 releases, and a crew-day elsewhere fills 1.5",
        ),
        (
            {"presence_share": 0.0},
            KNOWN,
            "no release, find or spread on record could have brought the agent here",
        ),
        (
            {"presence_share": 0.9},
            {**KNOWN, "collecting_sites": 1},
            "it is the source that promises most whatever a visit finds (nine chances in ten that it holds agents for about 4 "
            "releases)",
        ),
    ],
)
def test_a_source_whose_visit_changes_nothing_says_why(scout, site, given, settings, words):
    visits = scout(site("A", **given), **settings)
    assert visits.table["visit_worth"].tolist() == [0.0]
    assert why_of(visits)["A"] == NOTHING + words


def test_a_wrong_find_reads_as_few_so_a_find_in_number_is_sure(scout, site):
    """0.2 x 0.6 finds in number, 4 - 1.5 more each; where no place has enough, no find can help."""
    sign = {
        "name": "holes", "methods": ["search"], "first_day": "06-01", "last_day": "07-15", "found_share": 0.6,
        "wrong_share": 0.5, "effort_hours": 1.0,
    }  # fmt: skip
    visits = scout(site("A", presence_share=0.2), signs=[sign], **KNOWN)
    assert visits.table["visit_worth"].tolist() == pytest.approx([0.2 * 0.6 * 2.5])
    never = scout(site("A", presence_share=0.2), signs=[sign], **(KNOWN | {"enough_share": 0.0}))
    assert never.table["visit_worth"].tolist() == [0.0]
    assert why_of(never)["A"] == NOTHING + (
        "even a good find would leave it below the 1.5 releases that a crew-day elsewhere fills"
    )


def test_release_sites_below_and_above_the_line_say_so(scout, site):
    visits = scout(
        site("A", presence_share=0.01),
        site("B", presence_share=0.5),
        role="release",
        scores=[0.9, 0.3],
        release_sites=1,
    )
    assert why_of(visits) == {
        "A": "never visited; less than one chance in twenty that the agent lives here already; a find would keep "
        "the agents for another site",
        "B": NOTHING
        + "others score higher, and nothing a visit finds would make it the release site that promises most",
    }


def test_when_the_visits_above_settle_it_the_last_one_says_so(scout, site):
    """One place. A 0.9 and B 0.8, each occupied with 0.5, so 0.45 and 0.40 unseen, and a visit is sure.

    A occupied saves B's 0.40 with 0.5: 0.2. B free brings 0.8 - 0.45 with 0.5: 0.175, so A is seen first. Then A
    is 0.9 or 0, and B, 0.8 or 0, is used where A is occupied and never else, whatever a visit finds.
    """
    sign = {
        "name": "adults", "methods": ["net"], "first_day": "06-01", "last_day": "07-15", "found_share": 1.0,
        "effort_hours": 1.0,
    }  # fmt: skip
    visits = scout(
        site("A", presence_share=0.5),
        site("B", presence_share=0.5),
        role="release",
        scores=[0.9, 0.8],
        release_sites=1,
        signs=[sign],
    )
    assert visits.table["visit_worth"].tolist() == pytest.approx([0.2, 0.0])
    assert why_of(visits)["B"] == NOTHING + (
        "the visits above it on this list already settle which sites are used"
    )


def test_a_sign_that_no_day_of_the_season_shows_says_so(scout, site):
    sign = {
        "name": "holes", "methods": ["search"], "first_day": "11-01", "last_day": "02-15", "found_share": 0.6,
        "effort_hours": 1.0,
    }  # fmt: skip
    visits = scout(site("A", presence_share=0.33), signs=[sign], **KNOWN)
    assert why_of(visits)["A"] == NOTHING + "no sign can be seen between 2027-05-01 and 2027-09-15"
    assert visits.table["visit_worth"].tolist() == [0.0]
    assert np.isnan(visits.table["visit_hours"][0])


def test_a_release_too_young_to_be_found_says_so(scout, site):
    visits = scout(
        site("A", presence_share=0.33, latest_release="2026-06-01"),
        profile={"establishment": {"first_detectable_years": 2.0}},
        **KNOWN,
    )
    assert (
        why_of(visits)["A"] == NOTHING + "the release of 2026 is too young for a visit to find it this season"
    )


def test_a_sign_after_the_window_says_so(scout, site, windows_of):
    windows = windows_of(("2027-05-15", "2027-05-25"))
    visits = scout(site("A", presence_share=0.33), windows=windows, **KNOWN)
    assert why_of(visits)["A"] == NOTHING + (
        "what can be seen of the agent comes only after the collecting window closes"
    )
    assert pd.isna(visits.table["sign_first_day"][0])


def test_a_site_crowded_out_by_the_order_of_scores_is_not_valued_where_a_visit_moves_its_score(scout, site):
    """The score counts the chance of waste, so a visit in vain may put the site above the one it lies beside."""
    rows = [site("A", presence_share=0.0), site("B", presence_share=0.4), site("C", presence_share=0.0)]
    visits = scout(
        *rows, role="release", scores=[0.9, 0.8, 0.7], release_sites=1,
        codes=[("B", "too-close"), ("C", "too-close")], criteria=WASTED,
    )  # fmt: skip
    assert np.isnan(visits.table.set_index("site_id").loc["B", "visit_worth"])
    assert visits.table["visit_order"].isna().all()
    assert (
        "What a visit does to another site too close to its own (min_spacing_km), by a find or by a better score, "
        "is not counted."
    ) in visits.basis
    assert why_of(visits)["B"] == (
        "not valued: too close to a site that scores higher today (too-close); that a visit here might swap the two "
        "is not counted"
    )
    assert why_of(visits)["C"] == NOTHING + (
        "no release, find or spread on record could have brought the agent here"
    )


def test_a_site_crowded_out_stays_out_where_no_visit_moves_its_score(scout, site):
    rows = [site("A", presence_share=0.0), site("B", presence_share=0.4)]
    visits = scout(
        *rows, role="release", scores=[0.9, 0.8], release_sites=1, codes=[("B", "too-close")],
        criteria={},
    )  # fmt: skip
    assert why_of(visits)["B"] == NOTHING + "it is left out whatever a visit here finds (too-close)"


def test_a_worth_that_prints_as_nothing_is_told_as_next_to_nothing(scout, site):
    """0.00002 x 0.6 finds in number bring 2.5 releases more each: 0.00003; A's 0.0001 x 0.6 x 2.5 prints as 0.0002."""
    visits = scout(site("A", presence_share=0.0001), site("B", presence_share=0.00002), **KNOWN)
    assert visits.table["site_id"].tolist() == ["A", "B"]
    assert visits.table["visit_worth"].tolist() == pytest.approx([0.00015, 0.0], abs=1e-12)
    assert visits.table["visit_order"].tolist() == [1, pd.NA]
    assert why_of(visits)["B"] == (
        "a visit here changes next to nothing: its worth is below 0.00005 releases"
    )
