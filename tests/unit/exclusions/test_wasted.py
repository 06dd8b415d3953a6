import pytest

from geo_scout.exclusions.wasted import exclude_wasted

CHANCE = {"presence_low_share": 0.4, "presence_share": 0.62, "presence_high_share": 0.75}


def wasted(books, limit=0.5, role="release", **records):
    rules = {} if limit is None else {"max_wasted_share": limit}
    return list(exclude_wasted(books.book(books.site(**{**CHANCE, **records}), role=role, rules=rules)))


def test_a_site_above_the_limit_is_left_out_with_chance_records_and_two_ways_back(books):
    [found] = wasted(books, release_ids="R4; R7")
    assert found.code == "agent-inferred"
    assert found.sentence == (
        "the chance that stem weevil is here already is 62 % (40 to 75 %); your limit is 50 % "
        "(max_wasted_share). It rests on release R4; R7, not on a confirmed find."
    )
    assert found.remedy == "A visit can settle it; max_wasted_share of 0.6200 would bring it back."
    assert (found.measured, found.limit, found.unit) == (0.62, 0.5, "share")


def test_without_a_release_of_its_own_it_rests_on_what_lies_around(books):
    [found] = wasted(books)
    assert "It rests on releases and finds around, not on a confirmed find." in found.sentence


@pytest.mark.parametrize(
    ("given", "limit", "role"),
    [
        ({}, None, "release"),  # no limit, nothing is left out for what is only inferred
        ({}, 0.62, "release"),  # the limit itself is allowed
        ({}, 0.5, "source"),
        ({"purpose": "supplement"}, 0.5, "release"),
        ({"confirmed": True}, 0.5, "release"),  # that has a reason of its own
    ],
)
def test_who_is_not_left_out(books, given, limit, role):
    assert wasted(books, limit, role, **given) == []
