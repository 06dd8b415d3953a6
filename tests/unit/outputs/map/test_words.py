"""Every word a reader sees stands in one table, so that a translation is one file."""

import re
from importlib.resources import files

import pytest

from geo_scout.outputs.map.static_files import SCRIPTS, STYLES, read_static

LITERAL = re.compile(r"'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`")
COMMENT = re.compile(r"^\s*//.*$|(?<=[;{}(,])\s*//.*$", re.MULTILINE)


def _texts(script: str) -> list[str]:
    plain = COMMENT.sub("", script)
    found = [first or second for first, second in LITERAL.findall(plain)]
    return [re.sub(r"\$\{[^}]*\}", "", text) for text in found]


def _looks_said(text: str) -> bool:
    """Return whether a literal reads like words for people: a capital and then small letters."""
    return bool(re.match(r"[A-Z][a-z]+(?: |$)", text)) and not re.match(
        r"[A-Z][a-z]+(?:Up|Down|Left|Right)$", text
    )


@pytest.mark.parametrize("name", [name for name in SCRIPTS if name != "words.js"])
def test_no_script_but_the_table_of_words_says_anything(name: str) -> None:
    allowed = {
        "Escape",
        "Home",
        "End",
        "Enter",
        "Delete",
        "Backspace",
        "Feature",
        "Point",
        "FeatureCollection",
        "Tab",
    }
    said = [text for text in _texts(read_static(name)) if _looks_said(text) and text not in allowed]
    assert said == []


def test_the_frame_says_nothing_itself() -> None:
    body = read_static("page.html").partition("<body>")[2]
    between = re.sub(r"<!--.*?-->|<[^>]*>", "", body, flags=re.DOTALL)
    assert between.strip() == ""
    assert re.findall(r'(?:aria-label|title|alt|placeholder)="[^"]+"', body) == []


def test_every_file_of_the_page_is_used() -> None:
    folder = files("geo_scout.outputs.map") / "static"
    there = {one.name for one in folder.iterdir() if one.name.endswith((".js", ".css"))}
    assert there == set(SCRIPTS) | set(STYLES)


def test_each_script_says_what_it_is_for() -> None:
    for name in SCRIPTS:
        first, second, *_ = read_static(name).split("\n")
        assert first == "'use strict';", name
        assert second.startswith("// "), name


def test_no_script_is_long() -> None:
    """Each file has one job: no more than 250 lines, but for the table of words."""
    assert [name for name in SCRIPTS if name != "words.js" and read_static(name).count("\n") > 250] == []
