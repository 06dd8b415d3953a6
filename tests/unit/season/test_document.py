"""A value of another type than asked for is no value: the model tells that mistake, once."""

import datetime as dt
import tomllib

from geo_scout.season.document import Document
from geo_scout.season.positions import read_positions

TEXT = """title = "x"
count = 3
yes = true
quoted = "3"
known = {value = 2.5, source = "notes"}
broken = {value = "2.5"}
day = 2027-05-01
hour = 2027-05-01T08:00:00
names = ["a", 1, "b"]
[inner]
key = 1
[[rows]]
key = 1
"""
DOCUMENT = Document("season.toml", tomllib.loads(TEXT), read_positions(TEXT))


def test_numbers_are_numbers_only() -> None:
    assert DOCUMENT.number("count") == 3
    assert DOCUMENT.number("known") == 2.5
    assert [DOCUMENT.number(key) for key in ("yes", "quoted", "broken", "names", "nothing")] == [None] * 5


def test_texts_dates_and_tables_likewise() -> None:
    assert DOCUMENT.text("title") == "x"
    assert DOCUMENT.text("count") is None
    assert DOCUMENT.date("day") == dt.date(2027, 5, 1)
    assert DOCUMENT.date("hour") is None
    assert list(DOCUMENT.texts("names")) == [(("names", 0), "a"), (("names", 2), "b")]
    assert list(DOCUMENT.texts("title")) == []
    assert list(DOCUMENT.rows("rows")) == [("rows", 0)]
    assert list(DOCUMENT.rows("inner")) == []
    assert DOCUMENT.table("count") == {}
    assert DOCUMENT.get("rows", 5, "key") is None


def test_titles_are_written_as_in_the_file() -> None:
    assert DOCUMENT.title(("inner",)) == "[inner]"
    assert DOCUMENT.title(("rows", 0)) == "[[rows]]"
    assert DOCUMENT.title(("known",)) == "known"
    problem = DOCUMENT.problem("missing-key", ("rows", 0, "name"), "what", "fix")
    assert (problem.line, problem.key) == (12, "rows[1].name")
