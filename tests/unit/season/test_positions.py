from geo_scout.season.positions import read_positions

TEXT = """format = 1
a.b."c d" = {value = 1, list = [1,
  2]}
[season] # note
agents = [
  "one", # first
  "two",
]
[[crews]]
name = "Ford"
[[crews]]
name = "Barn"
[crews.truck]
seats = 4
[layers . 'tm in']
path = "y"
"""


def line(*path: str | int) -> int | None:
    mark = read_positions(TEXT).nearest(path)
    return None if mark is None else mark.line


def test_each_key_stands_where_a_person_sees_it() -> None:
    assert line("format") == 1
    assert line("a", "b", "c d", "value") == 2
    assert line("a", "b", "c d", "list", 1) == 3
    assert line("season") == 4
    assert line("season", "agents", 1) == 7
    assert line("crews", 0, "name") == 10
    assert line("crews", 1) == 11
    assert line("crews", 1, "name") == 12
    assert line("crews", 1, "truck", "seats") == 14
    assert line("layers", "tm in", "path") == 16


def test_a_key_that_is_not_there_has_the_line_of_the_table_around_it() -> None:
    assert line("crews", 1, "base") == 11
    assert line("season", "title") == 4
    assert line("rules", "join_m") is None


def test_headers_are_told_from_keys() -> None:
    marks = read_positions(TEXT).marks
    assert marks[("season",)].is_header
    assert marks[("layers",)].is_header
    assert not marks[("a", "b")].is_header
    assert not marks[("season", "agents")].is_header


def test_repeats_are_found_and_lists_of_tables_are_none() -> None:
    assert read_positions(TEXT).repeats == []
    found = read_positions("[a]\nb = 1\nb = 2\n[c]\n[a]\n").repeats
    assert [(path, first.line, second.line) for path, first, second in found] == [
        (("a", "b"), 2, 3),
        (("a",), 1, 5),
    ]


def test_letters_beyond_ascii_do_not_shift_lines() -> None:
    assert read_positions('title = "Qu\u00e9\u4e16\U0001f41e"\nnext = 1\n').nearest(("next",)).line == 2  # type: ignore[union-attr]
