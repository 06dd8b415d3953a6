import datetime as dt
import tomllib

import pytest

from geo_scout.model.criteria import Curve
from geo_scout.season.wording import dotted, header, kind_of, listed, show_number, toml_value, visible


@pytest.mark.parametrize(
    "value",
    [
        'a "quoted" word',
        "C:\\temp",
        "tab\tand line\nfeed",
        "\u202eright to left",
        True,
        7,
        0.25,
        1e20,
        -3.0,
        dt.date(2027, 5, 1),
        ["a", "b"],
        {"from": 0, "odd key": "x"},
    ],
)
def test_what_is_to_be_pasted_means_the_same_to_a_toml_reader(value: object) -> None:
    assert tomllib.loads(f"key = {toml_value(value)}")["key"] == value


def test_a_curve_is_pasted_with_the_names_of_the_file() -> None:
    curve = Curve.model_validate({"shape": "rising", "from": 0, "to": 5})
    assert toml_value(curve) == '{shape = "rising", from = 0, to = 5}'


def test_hostile_characters_become_visible_and_long_text_short() -> None:
    assert visible("a\x00b\u202ec\u2066d\u2028") == "a\\u0000b\\u202ec\\u2066d\\u2028"
    assert visible("\u00e9\u4e16") == "\u00e9\u4e16"
    assert len(visible("x" * 1000)) == 120


def test_paths_headers_and_lists_read_as_people_write() -> None:
    assert dotted(("crews", 0, "my key", "a")) == 'crews[1]."my key".a'
    assert header(("crews", 0), is_list=True) == "[[crews]]"
    assert listed(["a"]) == "a"
    assert listed(["a", "b"], last="and") == "a and b"
    assert listed([]) == ""
    assert show_number(1e20) == "1e+20"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (True, "a yes-or-no value"),
        (1, "a whole number"),
        (1.0, "a number with decimals"),
        (dt.datetime(2027, 5, 1, tzinfo=dt.UTC), "a date with a time"),
        (dt.date(2027, 5, 1), "a date"),
        (dt.time(8), "a time of day"),
        ({}, "a table"),
        ([], "a list"),
        ("", "text"),
    ],
)
def test_kinds_in_words(value: object, words: str) -> None:
    assert kind_of(value) == words
