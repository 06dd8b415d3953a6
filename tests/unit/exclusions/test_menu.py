import ast
from pathlib import Path

import geo_scout.exclusions
from geo_scout.exclusions import exclude_all
from geo_scout.exclusions.menu import LIMITS

FOLDER = Path(geo_scout.exclusions.__file__).parent
APART = {
    "exclude_all",
    "exclude_too_close",
}  # the menu itself, and the limit that needs the order of the sites


def test_every_limit_of_the_room_is_on_the_menu():
    written = {
        node.name
        for path in FOLDER.glob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name.startswith("exclude_")
    }
    assert {limit.__name__ for limit in LIMITS} == written - APART


def test_a_site_keeps_every_reason_in_the_order_of_the_menu(books):
    site = books.site(permission="no", infested_ha=0.1)
    land = [("A-1", "crop", "forbid", 0.5)]
    rules = {"min_infested_ha": 0.2, "land_classes": {"crop": "forbid"}}
    for role, codes in (
        ("release", ["permission-refused", "too-small", "land-forbidden"]),
        ("source", ["permission-refused", "agent-not-confirmed", "too-small", "land-forbidden"]),
    ):
        found = exclude_all(books.book(site, role=role, land=land, rules=rules))
        assert [one.code for one in found] == codes
        assert {(one.agent, one.role, one.site_id) for one in found} == {("stem weevil", role, "A-1")}
        assert all(one.sentence.endswith(".") and one.remedy.endswith(".") for one in found)


def test_a_sound_site_has_no_reason(books):
    assert exclude_all(books.book(books.site())) == []
