"""What the package carries: Leaflet as published, and files the page really uses."""

import hashlib
import re
from importlib.resources import files

import pytest

from geo_scout.model.evidence import OUTCOMES
from geo_scout.outputs.map.static_files import (
    SCRIPTS,
    STYLES,
    leaflet_script,
    leaflet_style,
    read_static,
)

STATIC = files("geo_scout.outputs.map") / "static"

# sha256 of the files in leaflet 1.9.4 as published on npm, taken when they were copied here.
PUBLISHED = {
    "leaflet.js": "db49d009c841f5ca34a888c96511ae936fd9f5533e90d8b2c4d57596f4e5641a",
    "leaflet.css": "a7837102824184820dfa198d1ebcd109ff6d0ff9a2672a074b9a1b4d147d04c6",
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_leaflet_is_the_published_one(name: str) -> None:
    found = (STATIC / "leaflet-1.9.4" / name).read_bytes()
    assert hashlib.sha256(found).hexdigest() == PUBLISHED[name]


def test_leaflet_keeps_its_licence() -> None:
    assert "BSD 2-Clause License" in read_static("leaflet-1.9.4/LICENSE")
    assert "@preserve" in leaflet_script()[:200]


def test_leaflet_asks_for_nothing_beside_the_page() -> None:
    assert "sourceMappingURL" not in leaflet_script()
    pictures = re.findall(r"url\(([^)]*)\)", leaflet_style())
    assert len(pictures) >= 3
    assert all(picture.startswith(("data:image/png;base64,", "#")) for picture in pictures)


def test_every_script_and_style_in_the_folder_is_in_the_page() -> None:
    names = {item.name for item in STATIC.iterdir() if item.is_file()}
    assert names == {*SCRIPTS, *STYLES, "page.html"}


@pytest.mark.parametrize("name", SCRIPTS)
def test_scripts_write_text_and_never_markup(name: str) -> None:
    script = read_static(name)
    assert script.startswith("'use strict';\n")
    assert not re.search(r"innerHTML|outerHTML|insertAdjacent|document\.write|\.setContent\(['\"`]", script)


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_every_outcome_of_a_release_has_a_mark_and_words(outcome):
    key = re.compile(rf"""^\s*(?:'{outcome}'|{outcome.replace(" ", "_")}): """, re.MULTILINE)
    text = {name: (STATIC / name).read_text(encoding="utf-8") for name in ("symbols.js", "words.js")}
    assert [len(key.findall(one)) for one in text.values()] == [1, 2]
    assert f"'{outcome}'" in (STATIC / "records_layer.js").read_text(encoding="utf-8")
