import pytest

from geo_scout.exclusions.establishment import exclude_unconfirmed


@pytest.mark.parametrize(
    ("records", "known"),
    [
        ({}, "no release and no visit on record"),
        ({"release_ids": "R3; R4", "unvisited_release_ids": "R4"}, "not visited since release R4"),
        ({"release_ids": "R4"}, "release R4, and no visit that counts for what lives here now"),
        (
            {"release_ids": "R4", "latest_result": "not found on 2025-06-01"},
            "not found on 2025-06-01 (release R4)",
        ),
        ({"latest_result": "not found on 2025-06-01"}, "not found on 2025-06-01"),
        (
            {"release_ids": "R4", "latest_result": "found on 2026-06-01"},
            "found on 2026-06-01, too early after the release to confirm",
        ),
        (
            {
                "latest_result": "found on 2019-06-01",
                "state": "lost",
                "state_words": "lost (2022), now 0 %: sprayed (T4).",
            },
            "lost (2022), now 0 %",
        ),
    ],
)
def test_a_source_without_a_confirmed_find_says_what_is_known(books, records, known):
    chance = {"presence_low_share": 0.4, "presence_share": 0.62, "presence_high_share": 0.75}
    [found] = exclude_unconfirmed(books.book(books.site(**records, **chance), role="source"))
    assert found.code == "agent-not-confirmed"
    assert (
        found.sentence
        == f"stem weevil is not confirmed here: {known}; the chance that it lives here is 62 % (40 to 75 %)."
    )
    assert found.remedy == "A confirmed find in this patch would bring it back."
    assert (found.measured, found.limit, found.unit) == (None, None, "")


def test_a_confirmed_source_stays(books):
    assert list(exclude_unconfirmed(books.book(books.site(confirmed=True), role="source"))) == []


def test_release_sites_need_no_agent(books):
    assert list(exclude_unconfirmed(books.book(books.site()))) == []
