"""When a sign can be seen: season of the year, field season, young releases and closing windows."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.model.establishment import Establishment, Sign
from geo_scout.planning.field_days import field_days, sign_days

NEVER = "NaT"


def sign(first_day, last_day):
    return Sign(
        name="holes",
        methods=("search",),
        first_day=first_day,
        last_day=last_day,
        found_share=0.5,
        effort_hours=1.0,
    )


def establishment(**given):
    return Establishment.model_validate({"prior_share": 0.5} | given)


def days(*texts):
    return np.array(texts, dtype="datetime64[D]")


@pytest.fixture
def season(books):
    return books.season(start=dt.date(2027, 5, 1), end=dt.date(2027, 9, 15))


def seen(found):
    return [[str(one) for one in found.first], [str(one) for one in found.last], found.problem.tolist()]


def test_what_is_left_of_a_sign_within_the_field_season(season):
    for first_day, last_day, expected in (
        ("06-01", "07-15", ("2027-06-01", "2027-07-15", "")),
        ("04-10", "06-05", ("2027-05-01", "2027-06-05", "")),
        ("09-01", "10-15", ("2027-09-01", "2027-09-15", "")),
        ("09-15", "09-15", ("2027-09-15", "2027-09-15", "")),
        ("11-01", "05-10", ("2027-05-01", "2027-05-10", "")),
        ("09-16", "04-30", (NEVER, NEVER, "not in season")),
    ):
        found = sign_days(
            sign(first_day, last_day), season, establishment(), days(NEVER), days(NEVER), days(NEVER)
        )
        assert [one[0] for one in seen(found)] == list(expected), first_day


def test_a_season_over_new_year_sees_a_winter_sign(books):
    season = books.season(start=dt.date(2026, 11, 15), end=dt.date(2027, 3, 1))
    found = sign_days(sign("12-10", "02-29"), season, establishment(), days(NEVER), days(NEVER), days(NEVER))
    assert seen(found) == [["2026-12-10"], ["2027-02-28"], [""]]


def test_a_release_must_be_old_enough_on_the_day_of_the_visit(season):
    """One year is 365.25 days, so 366: 2026-06-20 is old enough on 2027-06-21."""
    found = sign_days(
        sign("06-01", "07-15"),
        season,
        establishment(first_detectable_years=1.0),
        days("2026-06-20", "2026-08-01", "2020-01-01", NEVER),
        days(*[NEVER] * 4),
        days(*[NEVER] * 4),
    )
    assert seen(found) == [
        ["2027-06-21", NEVER, "2027-06-01", "2027-06-01"],
        ["2027-07-15", NEVER, "2027-07-15", "2027-07-15"],
        ["", "too young", "", ""],
    ]


def test_a_visit_comes_before_the_window_closes_and_better_before_it_opens(season):
    found = sign_days(
        sign("06-01", "07-15"),
        season,
        establishment(),
        days(*[NEVER] * 4),
        days("2027-06-10", "2027-05-20", "2027-05-10", NEVER),
        days("2027-06-20", "2027-06-20", "2027-05-31", NEVER),
    )
    assert seen(found) == [
        ["2027-06-01", "2027-06-01", NEVER, "2027-06-01"],
        ["2027-06-09", "2027-06-20", NEVER, "2027-07-15"],
        ["", "", "after closing", ""],
    ]
    assert found.is_early.tolist()[:2] == [True, False]
    assert found.is_seen.tolist() == [True, True, False, True]


def test_the_field_season_starts_today_where_it_has_begun_and_lasts_a_year_without_an_end(books):
    begun = books.season(start=dt.date(2026, 5, 1), end=dt.date(2026, 12, 1))
    assert [str(one) for one in field_days(begun)] == ["2026-11-01", "2026-12-01"]
    assert [str(one) for one in field_days(books.season())] == ["2026-11-01", "2027-11-01"]
