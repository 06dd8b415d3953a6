import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geo_scout.season.toml_text import note_text, toml_item, toml_key

ANY_TEXT = st.text(st.characters(exclude_categories=["Cs"]))


@given(ANY_TEXT)
def test_any_text_comes_back_as_it_was(text: str) -> None:
    assert tomllib.loads(f"value = {toml_item(text)}") == {"value": text}


@given(st.dictionaries(ANY_TEXT, ANY_TEXT))
def test_any_table_comes_back_as_it_was(table: dict[str, str]) -> None:
    assert tomllib.loads(f"value = {toml_item(table)}") == {"value": table}


@given(ANY_TEXT)
def test_a_note_never_leaves_its_line(text: str) -> None:
    assert tomllib.loads(f"key = 1 # {note_text(text)}\n") == {"key": 1}


@pytest.mark.parametrize("letter", ["\u202e", "\u2066", "\u200f", "\x1b", "\x07", "\u2028"])
def test_what_turns_or_hides_text_is_made_visible(letter: str) -> None:
    assert letter not in note_text(f"a{letter}b")
    assert letter not in toml_item(f"a{letter}b")


def test_numbers_and_lists_are_written_plainly() -> None:
    assert toml_item(["a", 2, 0.5]) == '["a", 2, 0.5]'
    assert toml_key("") == '""'
