import re

import pytest

from geo_scout.exclusions.treatment import exclude_treated

# The clock of these books stands at 2026-11-01.


def treated(books, start, end, share=0.4, kind="herbicide", **rules):
    row = ("A-1", "T1", kind, start, end, share)
    return list(exclude_treated(books.book(books.site(), treatments=[row], rules=rules)))


def test_a_recent_treatment_leaves_out_and_says_for_how_long(books):
    [found] = treated(books, "2026-09-01", "2026-09-12")
    assert found.code == "treated"
    assert found.sentence == (
        "herbicide T1 on 40.0% of the patch, 2026-09-01 to 2026-09-12, ended 50 days before 2026-11-01; "
        "your limit is 365 days (treated_within_days)."
    )
    assert found.remedy == "Lowering treated_within_days to 50 would bring it back."
    assert (found.measured, found.limit, found.unit) == (50.0, 365.0, "days")


def test_the_printed_days_bring_the_patch_back(books):
    [found] = treated(books, "2026-09-01", "2026-09-12")
    days = int(re.search(r"to ([0-9]+) would", found.remedy)[1])
    assert treated(books, "2026-09-01", "2026-09-12", treated_within_days=days) == []


@pytest.mark.parametrize(("day", "is_out"), [("2025-11-01", False), ("2025-11-02", True)])
def test_a_treatment_that_ended_exactly_so_long_ago_no_longer_counts(books, day, is_out):
    # 2025-11-01 is 365 days before the clock, 2025-11-02 is 364.
    assert bool(treated(books, day, day)) == is_out


@pytest.mark.parametrize(
    ("start", "end", "span"),
    [
        ("2027-04-01", "2027-04-03", "2027-04-01 to 2027-04-03"),
        ("2026-10-01", "2026-12-01", "2026-10-01 to 2026-12-01"),
        ("2026-11-01", "2026-11-01", "2026-11-01"),
    ],
)
def test_planned_or_under_way_from_the_day_of_the_clock_on(books, start, end, span):
    [found] = treated(books, start, end, treated_within_days=0)
    assert found.code == "treatment-planned"
    assert found.sentence == f"herbicide T1 on 40.0% of the patch is planned or under way: {span}."
    assert found.remedy == "It comes back if the treatment is called off or moved off the patch."
    assert (found.measured, found.limit, found.unit) == (0.4, 0.05, "share")


@pytest.mark.parametrize(("share", "is_out"), [(0.05, False), (0.0501, True)])
def test_a_sliver_of_mapping_does_not_count(books, share, is_out):
    assert bool(treated(books, "2026-10-01", "2026-10-01", share=share)) == is_out


def test_only_the_kinds_of_the_season_count_whatever_their_case(books):
    assert treated(books, "2026-10-01", "2026-10-01", kind="burning") == []
    assert len(treated(books, "2026-10-01", "2026-10-01", kind="Mowing")) == 1
    assert treated(books, "2026-10-01", "2026-10-01", kind="mowing", treatment_kinds=["herbicide"]) == []
