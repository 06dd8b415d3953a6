import datetime as dt

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking.cautions import site_cautions
from geo_scout.ranking.score import score_sites


def cautions(books, role="release", land=(), profile=None, area=1.0, rules=None, climate=None, **given):
    """Return the cautions of one site: all of them, and the public ones."""
    profile, row = profile or books.agent(), books.site(**given)
    season = books.season(profile, rules)
    measures = {"host_area": CriterionValue.exact("ha", np.array([area]), "unknown")}
    scored = score_sites({"host_area": season.settings.criteria.of(role)["host_area"]}, measures)
    table = site_cautions(
        profile, role, season, books.sites([row], land=land), books.evidence([row]), measures, scored,
        pd.DataFrame(climate or {}, index=[0]),
    )  # fmt: skip
    return table["cautions"][0], table["public_cautions"][0]


def test_a_sound_site_has_none(books):
    assert cautions(books) == ("", "")


def test_unknown_permission_says_call_first_but_not_to_the_public(books):
    assert cautions(books, permission="unknown") == ("Permission unknown: call the manager first.", "")


def test_land_to_ask_about_and_forbidden_slivers_are_named_but_not_to_the_public(books):
    land = [
        ("A-1", "reserve", "ask", 0.4), ("A-1", "crop", "forbid", 0.02),
        ("A-1", "pasture", "prefer", 1.0), ("A-1", "rock", "", 1.0),
    ]  # fmt: skip
    said = "Ask before going: 40% on reserve, 2% on crop (forbidden)."
    assert cautions(books, land=land) == (said, "")


@pytest.mark.parametrize(
    ("status", "said"),
    [
        ({"status": "unknown"}, "STOP AND ASK: the legal status in Harrowmere is unknown."),
        (
            {"status": "allowed"},
            "STOP AND ASK: the legal status in Harrowmere carries no date (checked_on).",
        ),
        (
            {"status": "allowed", "checked_on": dt.date(2025, 10, 31)},
            "STOP AND ASK: the legal status in Harrowmere was checked on 2025-10-31, 366 days before "
            "2026-11-01; the limit is 365 days.",
        ),
        ({"status": "allowed", "checked_on": dt.date(2025, 11, 1)}, ""),
        (
            {"status": "permit", "checked_on": dt.date(2026, 9, 1), "authority": "the Bench"},
            "A permit from the Bench is needed in Harrowmere.",
        ),
        (
            {"status": "permit", "checked_on": dt.date(2026, 9, 1)},
            "A permit is needed in Harrowmere.",
        ),
    ],
)
def test_the_law_is_said_to_everyone(books, status, said):
    profile = books.agent(legal_status=[{"jurisdiction": "Harrowmere", **status}])
    assert cautions(books, profile=profile) == (said, said)


def test_what_a_profile_warns_of_goes_first_and_is_said_to_everyone(books):
    profile = books.agent(
        caution="it may breach the law.", legal_status=[{"jurisdiction": "Harrowmere", "status": "unknown"}]
    )
    said = "STOP AND ASK: it may breach the law. STOP AND ASK: the legal status in Harrowmere is unknown."
    assert cautions(books, profile=profile) == (said, said)


def test_an_unmapped_jurisdiction_must_ask(books):
    said, _ = cautions(books, jurisdiction="")
    assert said == "STOP AND ASK: the legal status in an unmapped jurisdiction is unknown."


def test_an_unvisited_release_is_a_possibility_at_a_release_site_only(books):
    chance = {"presence_low_share": 0.4, "presence_share": 0.62, "presence_high_share": 0.75}
    said, _ = cautions(books, unvisited_release_ids="R1; R2", **chance)
    assert said == (
        "Not visited since release R1; R2: the chance that stem weevil is here already is 62 % (40 to 75 %)."
    )
    assert cautions(books, role="source", unvisited_release_ids="R1") == ("", "")


@pytest.mark.parametrize(("share", "is_said"), [(0.33, False), (0.34, True)])
def test_a_release_site_that_others_may_have_reached_is_said_from_more_than_unlikely_on(
    books, share, is_said
):
    said, _ = cautions(books, presence_low_share=share, presence_share=share, presence_high_share=share)
    assert said == ("The chance that stem weevil is here already is 34 %." if is_said else "")
    assert cautions(books, role="source", presence_share=share) == ("", "")


def test_a_lost_population_is_said_at_a_release_site(books):
    said, _ = cautions(books, state="lost", state_words="Lost in 2022: sprayed (T4).")
    assert said == "stem weevil: Lost in 2022: sprayed (T4)."


def test_a_find_too_early_to_confirm_is_said(books):
    said, _ = cautions(books, latest_result="found on 2026-06-01")
    assert said == "stem weevil found on 2026-06-01, too early after the release to confirm."


def test_a_source_that_was_empty_last_time_is_said(books):
    given = {"confirmed": True, "confirmed_year": 2023.0}
    said, _ = cautions(books, role="source", latest_result="not found on 2026-06-01", **given)
    assert said == "stem weevil not found on 2026-06-01, after it was confirmed in 2023."
    assert cautions(books, role="source", latest_result="found on 2026-06-01", **given) == ("", "")


def test_a_supplement_at_an_occupied_site_says_that_the_agent_is_there(books):
    given = {"confirmed": True, "confirmed_year": 2024.0, "latest_result": "found on 2024-06-15"}
    said = (
        "Supplement: stem weevil was confirmed here in 2024 (latest visit: found on 2024-06-15); "
        "this release adds to it and starts no new population."
    )
    assert cautions(books, purpose="supplement", **given) == (said, "")
    assert cautions(books, purpose="new", **given) == ("", "")
    assert cautions(books, role="source", purpose="supplement", **given) == ("", "")


@pytest.mark.parametrize(("distance_km", "is_said"), [(0.5, True), (0.51, False), (np.nan, False)])
def test_a_supplement_near_a_population_says_how_near(books, distance_km, is_said):
    said, _ = cautions(
        books, purpose="supplement", population_distance_km=distance_km, rules={"occupied_km": 0.5}
    )
    expected = "Supplement: stem weevil is confirmed 0.500 km away, within occupied_km (0.5 km)."
    assert said == (expected if is_said else "")


@pytest.mark.parametrize(
    ("newest", "oldest", "years", "said"),
    [
        (pd.NaT, pd.NaT, np.nan, "The survey has no date."),
        ("2020-06-01", "2018-06-01", 6.4, "Last surveyed 2020-06-01, 6 years ago."),
        ("2026-06-01", "2019-06-01", 0.4, "Part of the patch was last surveyed in 2019."),
        ("2026-06-01", "2026-05-01", 0.4, ""),
        ("2021-11-01", "2021-11-01", 5.0, "Last surveyed 2021-11-01, 5 years ago."),
        ("2021-11-02", "2021-11-02", 4.997, ""),
    ],
)
def test_old_and_undated_surveys_are_said(books, newest, oldest, years, said):
    dates = {"survey_date": pd.Timestamp(newest), "survey_date_oldest": pd.Timestamp(oldest)}
    assert cautions(books, survey_age_years=years, **dates) == (said, said)


def test_what_was_not_measured_is_named_with_the_interval(books):
    said, _ = cautions(books, area=np.nan)
    assert said == "Not measured: host area; the score lies between 0.000 and 1.000."


def test_limits_that_could_not_be_checked_are_said(books):
    limits = {"annual_extreme_min_degc": {"least": -30.0}, "mean_coldest_month_min_degc": {"least": -15.0}}
    profile = books.agent(climate={"limits": limits})
    daily = "The limit annual_extreme_min_degc was not checked: it needs ten years of daily temperatures near by, or the layer extremes."
    nowhere = "The limit mean_coldest_month_min_degc was not checked: no climate layer has a value here."
    assert cautions(books, profile=profile)[0] == f"{daily} {nowhere}"
    assert cautions(books, profile=profile, climate={"bio06": [np.nan]})[0] == f"{daily} {nowhere}"
    assert cautions(books, profile=profile, climate={"bio06": [-12.0]})[0] == daily


def test_private_cautions_come_first_and_the_public_ones_are_the_rest(books):
    said, public = cautions(books, permission="unknown", area=np.nan)
    assert said == f"Permission unknown: call the manager first. {public}"
    assert public.startswith("Not measured")


@pytest.mark.parametrize("climate", [{}, {"steep_share": [np.nan], "elevation_m": [np.nan]}])
def test_limits_on_the_ground_that_could_not_be_checked_are_said(books, climate):
    profile = books.agent(terrain={"elevation_m": {"most": 1400.0}})
    slope = "The limit max_slope_deg was not checked: no elevation layer has a slope here."
    band = "The limit elevation_m was not checked: no elevation layer has a value here."
    rules = {"max_slope_deg": 30.0}
    said = f"{slope} {band}"
    assert cautions(books, profile=profile, rules=rules, climate=climate) == (said, said)
    assert cautions(books, "source", profile=profile, rules=rules, climate=climate) == (slope, slope)


def test_limits_on_the_ground_that_were_checked_say_nothing(books):
    profile = books.agent(terrain={"elevation_m": {"most": 1400.0}})
    climate = {"steep_share": [0.0], "elevation_m": [900.0]}
    assert cautions(books, profile=profile, rules={"max_slope_deg": 30.0}, climate=climate) == ("", "")
