import datetime as dt

import pytest

from geo_scout.exclusions.law import exclude_forbidden_by_law


def law(books, status, **keys):
    entry = {"jurisdiction": "Ostrane", "status": status, **keys}
    return books.book(books.site(jurisdiction="Ostrane"), profile=books.agent(legal_status=[entry]))


def test_forbidden_names_authority_and_day(books):
    [found] = exclude_forbidden_by_law(
        law(books, "forbidden", authority="Ostrane Office", checked_on=dt.date(2026, 10, 2))
    )
    assert found.code == "legal-forbidden"
    assert found.sentence == (
        "moving or releasing stem weevil is forbidden in Ostrane by Ostrane Office, checked on 2026-10-02."
    )
    assert found.remedy == "Only a change of the law, checked with the authority, would bring it back."
    assert (found.measured, found.limit, found.unit) == (None, None, "")


def test_moratorium_without_authority_or_day(books):
    [found] = exclude_forbidden_by_law(law(books, "moratorium"))
    assert found.code == "legal-moratorium"
    assert found.sentence == "moving or releasing stem weevil is under a moratorium in Ostrane."


@pytest.mark.parametrize("status", ["allowed", "permit", "unknown"])
def test_allowed_permit_and_unknown_do_not_exclude(books, status):
    assert list(exclude_forbidden_by_law(law(books, status))) == []


def test_an_old_statement_still_forbids(books):
    [found] = exclude_forbidden_by_law(law(books, "forbidden", checked_on=dt.date(2020, 1, 1)))
    assert found.code == "legal-forbidden"


def test_an_unmapped_or_unnamed_jurisdiction_does_not_exclude(books):
    entry = [{"jurisdiction": "Ostrane", "status": "forbidden"}]
    book = books.book(
        books.site("A-1", jurisdiction=""), books.site("A-2", jurisdiction="Harrowmere"),
        profile=books.agent(legal_status=entry),
    )  # fmt: skip
    assert list(exclude_forbidden_by_law(book)) == []


def test_names_match_whatever_the_case(books):
    entry = [{"jurisdiction": "OSTRANE ", "status": "forbidden"}]
    book = books.book(books.site(jurisdiction="ostrane"), profile=books.agent(legal_status=entry))
    assert [one.code for one in exclude_forbidden_by_law(book)] == ["legal-forbidden"]
