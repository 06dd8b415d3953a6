"""What a scout checks on the ground, in whole words."""

import pandas as pd

KNOWN = {"crew_day_releases": 1.5, "source_releases": 4.0, "enough_share": 1.0}
HERBICIDE = ("A", "T1", "herbicide", "2025-06-01", "2025-06-02", 0.4)
MOWING = ("A", "T2", "mowing", "2027-06-01", "2027-06-01", 0.4)
GRAZING = ("A", "T3", "grazing", "2026-10-01", "2026-11-15", 0.4)


def check(scout, site, role="source", treatments=(), **given):
    return scout(
        site("A", presence_share=0.3, **given), role=role, treatments=treatments, release_sites=1, **KNOWN
    ).table["what_to_check"][0]


def test_a_source_is_counted_and_its_host_looked_at(scout, site):
    assert check(scout, site, survey_age_years=6.2) == (
        "count the agents and note the hours, so that the supply is known; whether the host still grows here and how "
        "much (surveyed 6 years ago)"
    )


def test_a_release_site_is_looked_over_for_the_agent_permission_and_disturbance(scout, site):
    text = check(
        scout, site, "release", [HERBICIDE, MOWING, GRAZING], survey_age_years=0.3, permission="unknown"
    )
    assert text.split("; ") == [
        "whether the agent lives here already",
        "whether the host still grows here and how much (surveyed less than a year ago)",
        "permission: unknown, ask the manager before going",
        "disturbance: mowing T2, planned 2027-06-01 and grazing T3, under way until 2026-11-15 and herbicide T1, "
        "2025-06-02 (ask when and with what before going, and keep to the re-entry time on the label)",
    ]


def test_a_survey_without_a_date_or_of_a_year_ago_says_so(scout, site):
    assert "(survey without a date)" in check(scout, site, survey_date=pd.NaT)
    assert "(surveyed a year ago)" in check(scout, site, survey_age_years=1.2)
