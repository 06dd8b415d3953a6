import datetime as dt
import re

import pandas as pd
import pytest

from geo_scout.exclusions.establishment import exclude_too_soon


def soon(books, released, start, years=3, role="source", **given):
    day = None if released is None else pd.Timestamp(released)
    site = books.site(confirmed=True, first_release=day, **given)
    profile = books.agent(establishment={"years_to_harvest": years} if years is not None else {})
    book = books.book(site, profile=profile, role=role, start=start and dt.date.fromisoformat(start))
    return list(exclude_too_soon(book))


def test_a_young_release_is_not_harvested_yet(books):
    [found] = soon(books, "2025-05-01", "2027-05-01")
    assert found.code == "too-soon-after-release"
    assert found.sentence == (
        "first released on 2025-05-01, 1.9 years before 2027-05-01; "
        "stem weevil needs 3 years before harvest (years_to_harvest)."
    )
    assert found.remedy == "It comes back on 2028-05-01, for a season that starts then or later."
    assert found.measured == pytest.approx(730 / 365.25)
    assert (found.limit, found.unit) == (3.0, "years")


@pytest.mark.parametrize(
    ("released", "start", "is_out"),
    [
        ("2024-05-01", "2027-05-01", False),  # 1,095 days: the day itself, although 1,095 / 365.25 < 3
        ("2024-05-02", "2027-05-01", True),
        ("2024-02-29", "2027-02-28", False),
        ("2020-01-01", "2027-05-01", False),
    ],
)
def test_the_anniversary_itself_is_late_enough(books, released, start, is_out):
    assert bool(soon(books, released, start)) == is_out


def test_parts_of_years_count_as_days(books):
    # Half a year is 183 of 365.25 days, rounded: 2026-05-01 and 183 days is 2026-10-31.
    assert soon(books, "2026-05-01", "2026-10-31", years=0.5) == []
    assert len(soon(books, "2026-05-01", "2026-10-30", years=0.5)) == 1


def test_the_printed_day_brings_the_site_back(books):
    [found] = soon(books, "2025-05-01", "2027-05-01")
    start = re.search(r"on (\S+), for", found.remedy)[1]
    assert soon(books, "2025-05-01", start) == []


def test_without_a_first_day_of_field_work_the_clock_counts(books):
    [found] = soon(books, "2024-11-02", None, years=2)
    assert "before 2026-11-01" in found.sentence
    assert soon(books, "2024-11-01", None, years=2) == []


def test_does_not_apply_without_the_setting_the_release_or_the_role(books):
    assert soon(books, "2026-10-01", "2027-05-01", years=None) == []
    assert soon(books, None, "2027-05-01") == []
    assert soon(books, "2026-10-01", "2027-05-01", role="release") == []


def test_a_source_nobody_has_confirmed_yet_is_too_young_all_the_same(books):
    """So that nobody is sent to look where a find could not open it this season."""
    site = books.site(first_release=pd.Timestamp("2026-10-01"))
    profile = books.agent(establishment={"years_to_harvest": 3})
    [found] = exclude_too_soon(books.book(site, profile=profile, role="source"))
    assert found.code == "too-soon-after-release"
    assert "It comes back on 2029-10-01" in found.remedy


def test_where_the_agent_was_found_before_anything_was_put_there_a_supplement_starts_no_clock(books):
    site = books.site(confirmed=True, first_release=pd.Timestamp("2026-06-01"))
    profile = books.agent(establishment={"years_to_harvest": 3})
    older = {"site_id": "A-1", "first_found": pd.Timestamp("2022-06-01")}
    book = books.book(site, profile=profile, role="source", populations=[older])
    assert list(exclude_too_soon(book)) == []
    later = {"site_id": "A-1", "first_found": pd.Timestamp("2026-07-01")}
    book = books.book(site, profile=profile, role="source", populations=[later])
    assert len(list(exclude_too_soon(book))) == 1
