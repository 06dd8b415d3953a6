"""The supply of one source as it is explained; the arithmetic stands in the sentence itself."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.ranking import explain_supply

COLLECTING = {"hours_on_site": 8.0, "max_take": 500, "halving_years": 2.0, "widening_per_yr": 2.0}
# 25 an hour x 8 h, halved once in two years: 100; over and times 2^2: 25 to 400; at 50 a release 2 (0.5 to 8).
KNOWN = {
    "site_id": "A-1", "catch_date": pd.Timestamp("2025-05-01"), "catch_per_hour": 25.0, "catch_age_years": 2.0,
    "supply_low": 25.0, "supply": 100.0, "supply_high": 400.0, "releases_low": 0.5, "releases": 2.0,
    "releases_high": 8.0, "hours_per_release": 4.0, "supply_note": "25 per person-hour on 2025-05-01.",
}  # fmt: skip


def told(books, profile, **given):
    row = dict.fromkeys(SUPPLY_COLUMNS, np.nan) | given
    evidence = replace(books.evidence([books.site()]), supply=pd.DataFrame([row]))
    return explain_supply(evidence, profile, 0).splitlines()


@pytest.fixture
def profile(books):
    return books.agent(collecting=COLLECTING, release={"number_per_release": 50})


def test_a_known_supply_is_told_with_every_number_it_takes(books, profile):
    assert told(books, profile, **KNOWN) == [
        "What it could yield of stem weevil:",
        "  25 per person-hour on 2025-05-01.",
        "  25.0000 per person-hour x 8 h x 2^(-2.0000 / 2) = 100.0 agents (25.0 to 400.0: over and times "
        "2^2.0000, each at most 500, max_take)",
        "  at 50 a release: 2.00 releases (0.50 to 8.00), 4.0 person-hours each",
    ]


def test_without_a_halving_time_nothing_ages(books):
    profile = books.agent(
        collecting={name: value for name, value in COLLECTING.items() if name != "halving_years"}
    )
    lines = told(books, profile, **KNOWN)
    assert lines[2].startswith("  25.0000 per person-hour x 8 h = 100.0 agents")
    assert len(lines) == 3  # nobody says how many make a release


def test_an_unknown_supply_is_its_note_and_a_count_on_known_ground_its_own_line(books, profile):
    lines = told(
        books, profile, site_id="A-1", supply_note="unknown: no catch.",
        patch_total=1200.0, patch_total_low=800.0, patch_total_high=2400.0,
    )  # fmt: skip
    assert lines == [
        "What it could yield of stem weevil:",
        "  unknown: no catch.",
        "  on the whole patch, from a count on a known area: 1,200 agents (800 to 2,400)",
    ]
