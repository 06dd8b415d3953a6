import re

import pytest

from geo_scout.exclusions.land import exclude_forbidden_land

RULES = {"land_classes": {"crop": "forbid"}, "max_forbidden_share": 0.05}


def test_forbidden_land_leaves_out_with_share_limit_and_two_ways_back(books):
    [found] = exclude_forbidden_land(
        books.book(books.site(), land=[("A-1", "crop", "forbid", 0.25)], rules=RULES)
    )
    assert found.code == "land-forbidden"
    assert found.sentence == ("25.0% of the patch lies on crop; your limit is 5% (max_forbidden_share).")
    assert found.remedy == ('The rule "ask" for crop, or max_forbidden_share of 0.2500, would bring it back.')
    assert (found.measured, found.limit, found.unit) == (0.25, 0.05, "share")


def test_the_buffer_is_named(books):
    rules = {**RULES, "buffer_m": 50.0}
    [found] = exclude_forbidden_land(
        books.book(books.site(), land=[("A-1", "crop", "forbid", 0.25)], rules=rules)
    )
    assert "lies on crop or within 50 m of it;" in found.sentence


@pytest.mark.parametrize(("share", "is_out"), [(0.05, False), (0.050001, True), (1.0, True)])
def test_the_limit_itself_is_allowed(books, share, is_out):
    book = books.book(books.site(), land=[("A-1", "crop", "forbid", share)], rules=RULES)
    assert bool(list(exclude_forbidden_land(book))) == is_out


def test_the_printed_share_brings_the_patch_back(books):
    land = [("A-1", "crop", "forbid", 0.123444)]
    [found] = exclude_forbidden_land(books.book(books.site(), land=land, rules=RULES))
    raised = float(re.search(r"max_forbidden_share of ([0-9.]+)", found.remedy)[1])
    assert raised == 0.1235
    rules = {**RULES, "max_forbidden_share": raised}
    assert list(exclude_forbidden_land(books.book(books.site(), land=land, rules=rules))) == []


@pytest.mark.parametrize("rule", ["ask", "prefer", ""])
def test_other_rules_do_not_exclude(books, rule):
    book = books.book(books.site(), land=[("A-1", "crop", rule, 1.0)], rules=RULES)
    assert list(exclude_forbidden_land(book)) == []


def test_forbidden_classes_count_together(books):
    land = [("A-1", "crop", "forbid", 0.03), ("A-1", "reserve", "forbid", 0.04)]
    [found] = exclude_forbidden_land(books.book(books.site(), land=land, rules=RULES))
    assert found.measured == pytest.approx(0.07)
    assert found.sentence.startswith("7.0% of the patch lies on crop and reserve;")
