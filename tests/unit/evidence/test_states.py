"""Each state once, with its exact words: patches of a hectare, 1,000 m apart, seen on 1 November 2026."""

from dataclasses import replace

import numpy as np
import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches

ESTABLISHMENT = {
    "prior_share": {"value": 0.5, "low": 0.4, "high": 0.6},
    "years_to_confirm": 2.0,
    "first_detectable_years": 1.0,
}
NET = {
    "name": "adults in the net",
    "methods": ["sweep net"],
    "first_day": "06-01",
    "last_day": "08-15",
    "found_share": 0.5,
    "effort_hours": 1.0,
}
SPREAD = {"km_per_yr": 1.0, "max_spread_km": 5.0}


@pytest.fixture
def tell(frames):
    """Return the evidence of releases and visits in K1 (0 m) and K2 (1,000 m), or outside both."""

    def run(put=(), seen=(), establishment=None, spread=None, records=None, **rows_of):
        weeds = [frames.row(frames.square(1000 * n), id=f"K{n + 1}") for n in range(2)]
        agent = frames.agent(
            establishment=ESTABLISHMENT | (establishment or {}), spread=spread or {}, signs=[NET]
        )
        season = frames.season(agent, records=records)
        releases = [
            frames.row(frames.point(east_m), release_id=name, date=date) for name, east_m, date in put
        ]
        visits = [
            frames.row(
                frames.point(east_m),
                visit_id=name,
                date=date,
                found=result == "found",
                method="sweep net",
                effort_hours=hours,
            )
            for name, east_m, date, result, hours in seen
        ]
        layers = frames.layers(infestations=weeds, releases=releases, visits=visits, **rows_of)
        return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)

    return run


def first(evidence):
    row = evidence.sites.iloc[0]
    year = None if row["state_year"] != row["state_year"] else row["state_year"]
    return row["state"], year, row["state_words"]


def test_confirmed(tell):
    evidence = tell([("R", 50, "2018-06-01")], [("v", 50, "2021-06-10", "found", 1.0)])
    assert first(evidence) == (
        "confirmed",
        2021,
        "confirmed (2021), now 100 %, if nothing has happened since 2021: release R of 2018-06-01; found by v.",
    )
    assert evidence.sites["confirmed"].tolist() == [True, False]


def test_a_stated_persistence_needs_no_if(tell):
    # 0.9^5 = 0.59049 after a sure find, five years on
    found = tell([], [("v", 50, "2021-06-10", "found", 1.0)], {"persistence_share": 0.9})
    assert first(found) == ("confirmed", 2021, "confirmed (2021), now in doubt, 59 %: found by v.")


def test_likely(tell):
    # Too early to confirm, but seen: sure to be there, and younger than two years when it was seen.
    found = tell([("R", 50, "2018-06-01")], [("v", 50, "2019-07-10", "found", 1.0)])
    assert first(found) == (
        "likely",
        2019,
        "likely (2019), now 100 %, if nothing has happened since 2019: release R of 2018-06-01; "
        "found on 2019-07-10, too early to confirm.",
    )


def test_a_find_of_the_very_agents_released_says_nothing(tell):
    # Three weeks after the release: whether they took is as open as before, and no visit has spoken yet.
    found = tell([("R", 50, "2026-06-20")], [("v", 50, "2026-07-10", "found", 1.0)])
    assert first(found) == (
        "too early",
        2026,
        "too early to say (2026), now 50 % (40 to 60 %), if nothing has happened since 2026: to be known from 2028; "
        "release R of 2026-06-20; found on 2026-07-10, too early to confirm.",
    )


def test_possible(tell):
    put = [("R2", 60, "2019-06-02"), ("R1", 50, "2018-06-01")]
    assert first(tell(put)) == (
        "possible",
        2019,
        "possible (2019), now 50 % (40 to 60 %), if nothing has happened since 2019: "
        "2 releases, 2018-06-01 to 2019-06-02.",
    )


def test_unlikely(tell):
    # Two hours in vain, d = 0.75: 0.5 x 0.25 / 0.625 = 0.2; 0.4 x 0.25 / 0.7 = 0.142857; 0.6 x 0.25 / 0.55 = 0.272727
    seen = [("v", 50, "2021-06-10", "none", 2.0), ("w", 50, "2021-09-10", "none", 2.0)]
    found = tell([("R", 50, "2018-06-01")], seen)
    assert first(found) == (
        "unlikely",
        2021,
        "unlikely (2021), now 20 % (14 to 27 %), if nothing has happened since 2021: release R of 2018-06-01; "
        "1 visit that found nothing; 1 visit that says nothing.",
    )
    assert found.sites["presence_share"].tolist() == pytest.approx([0.2, 0.0], rel=1e-12)
    assert found.sites["presence_low_share"][0] == pytest.approx(1 / 7, rel=1e-12)
    assert found.sites["presence_high_share"][0] == pytest.approx(3 / 11, rel=1e-12)


def test_lost_by_visits_in_vain(tell):
    # Five hours, d = 31/32: 0.5 / 32 / (0.5 / 32 + 0.5) = 1/33 = 0.0303
    found = tell([("R", 50, "2018-06-01")], [("v", 50, "2021-06-10", "none", 5.0)])
    assert first(found) == (
        "lost",
        2021,
        "lost (2021), now 3 % (2 to 4 %): release R of 2018-06-01; 1 visit that found nothing.",
    )


def test_destroyed_and_others_may_have_come_since(tell, frames):
    # K2, 0.9 km off, found 6.56 years before the end of 2022 and 10.39 before today, spreads 1 km a year: it had
    # come by e^(-0.9 / 6.56) = 0.8718 and by e^(-0.9 / 10.39) = 0.9170, so since then by 1 - 0.0830 / 0.1282.
    sprayed = frames.row(
        frames.square(0), treatment_id="T7", kind="herbicide", start="2022-05-03", end="2022-05-03"
    )
    found = tell(
        [("R", 50, "2018-06-01")],
        [("a", 50, "2021-06-10", "found", 1.0), ("b", 1050, "2016-06-10", "found", 1.0)],
        spread=SPREAD,
        records={"loss_kinds": ["herbicide"]},
        treatments=[sprayed],
    )
    state, year, words = first(found)
    assert (state, year) == ("possible", None)
    assert found.sites["presence_share"][0] == pytest.approx(1 - 0.0830 / 0.1282, abs=1e-3)
    assert words.startswith("possible, now 35 % that it has come back: ")
    assert (
        "herbicide T7 over 100 % of it, 2022-05-03; release R of 2018-06-01; found by a; 35 % that others"
        in words
    )
    by_site = found.populations.set_index("site_id")["is_lost"]
    assert by_site.to_dict() == {"ASHT-K1": True, "ASHT-K2": False}
    assert found.sites["confirmed"].tolist() == [False, True]


def test_what_was_found_before_a_loss_confirms_nothing_put_there_since(tell, frames):
    """Found in 2021, sprayed in 2023, released into again in 2024: nobody has seen the new ones."""
    sprayed = frames.row(
        frames.square(0), treatment_id="T7", kind="herbicide", start="2023-05-03", end="2023-05-03"
    )
    found = tell(
        [("R1", 50, "2018-06-01"), ("R2", 60, "2024-06-01")],
        [("v", 50, "2021-06-10", "found", 1.0)],
        records={"loss_kinds": ["herbicide"]},
        treatments=[sprayed],
    )
    assert first(found)[0] == "possible"
    assert found.sites["presence_share"][0] == 0.5
    assert not found.sites["confirmed"].any()
    assert found.populations["is_lost"].tolist() == [True]
    # The clock of harvesting and confirming starts anew, and the old find is no latest visit.
    assert found.sites["first_release"][0].year == 2024
    assert found.sites["latest_result"][0] == ""
    assert found.sites["unvisited_release_ids"][0] == "R2"
    again = tell(
        [("R1", 50, "2018-06-01"), ("R2", 60, "2024-06-01")],
        [("v", 50, "2021-06-10", "found", 1.0), ("w", 50, "2026-06-10", "found", 1.0)],
        records={"loss_kinds": ["herbicide"]},
        treatments=[sprayed],
    )
    assert first(again)[:2] == ("confirmed", 2026)
    assert again.populations["found_by"].tolist() == ["w"]


def test_lost_with_its_ground(tell, frames):
    treatment = frames.row(
        frames.square(0), treatment_id="T7", kind="Herbicide", start="2022-05-01", end="2022-05-03"
    )
    found = tell(
        [("R", 50, "2018-06-01")],
        [("v", 50, "2021-06-10", "found", 1.0)],
        records={"loss_kinds": ["herbicide"]},
        treatments=[treatment],
    )
    assert first(found) == (
        "lost",
        2022,
        "lost (2022), now 0 % that it has come back: Herbicide T7 over 100 % of it, 2022-05-03; "
        "release R of 2018-06-01; found by v.",
    )
    assert found.populations["is_lost"].tolist() == [True]
    assert found.sites["confirmed"].tolist() == [False, False]
    assert found.sites["population_id"].tolist() == ["", ""]
    assert found.sites["gap_crossed"].tolist() == ["", ""]
    assert found.releases["state"].tolist() == ["lost"]


def test_too_early_to_say(tell):
    found = tell([("R", 50, "2025-06-01")], [("v", 50, "2025-08-01", "none", 2.0)])
    assert first(found) == (
        "too early",
        2025,
        "too early to say (2025), now 50 % (40 to 60 %), if nothing has happened since 2025: "
        "to be known from 2027; release R of 2025-06-01; 1 visit that says nothing.",
    )
    # The anniversary of the wait, here a year without years_to_confirm, is late enough.
    short = {"years_to_confirm": None}
    assert first(tell([("R", 50, "2025-11-02")], establishment=short))[0] == "too early"
    assert first(tell([("R", 50, "2025-11-01")], establishment=short))[0] == "possible"
    # A visit that changed something ends the wait.
    assert first(tell([("R", 50, "2025-06-01")], [("v", 50, "2026-07-01", "none", 0.1)]))[0] == "possible"


def test_without_a_record_the_words_say_what_is_missing(tell):
    assert first(tell()) == ("unlikely", None, "unlikely, now 0 %: no release or find is on record anywhere.")
    elsewhere = [("R", 1050, "2018-06-01")]
    assert first(tell(elsewhere))[2] == (
        "unlikely, now 0 %: no release or find on record here, and the profile does not say how it spreads."
    )
    state, year, words = first(tell(elsewhere, spread=SPREAD))
    assert (state, year) == ("possible", None)
    assert words.endswith("%): no release or find on record here, only what may have come from others.")


def test_a_place_outside_every_patch_has_a_state_too(tell):
    found = tell(
        [("R", 5000, "2018-06-01"), ("Q", 50, "2018-06-01")], [("v", 50, "2021-06-10", "found", 1.0)]
    )
    assert found.releases["place_id"].tolist() == ["at release R", "ASHT-K1"]
    assert found.releases["state"].tolist() == ["possible", "confirmed"]
    assert found.releases["presence_share"].tolist() == [0.5, 1.0]


def test_a_place_near_a_population_is_told_whether_the_gap_is_crossed(tell):
    seen = [("v", 50, "2021-06-10", "found", 1.0)]
    assert tell([], seen, spread=SPREAD).sites["gap_crossed"].tolist() == ["yes", "yes"]
    narrow = SPREAD | {"largest_gap_km": 0.8}
    assert tell([], seen, spread=narrow).sites["gap_crossed"].tolist() == ["yes", "no"]


def test_without_a_layer_of_records_nothing_is_known_rather_than_nothing_there(frames):
    season = frames.season(frames.agent())
    layers = frames.layers(infestations=[frames.row(frames.square(0), id="K1")])
    layers = replace(layers, vectors={"infestations": layers.vectors["infestations"]})
    found = gather_evidence(find_patches(layers, season, frames.HOST), layers, season, frames.agent())
    row = found.sites.iloc[0]
    assert np.isnan(row["presence_share"])
    assert (row["state"], row["state_words"]) == (
        "",
        "not known: the season has no layer of releases or visits.",
    )
