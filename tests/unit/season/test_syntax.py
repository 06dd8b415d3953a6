import tomllib

import pytest

from geo_scout.model.problem import Problem
from geo_scout.season.syntax import syntax_problem


def problem_of(text: str) -> Problem:
    with pytest.raises(tomllib.TOMLDecodeError) as raised:
        tomllib.loads(text)
    return syntax_problem("season.toml", text, str(raised.value))


@pytest.mark.parametrize(
    ("text", "line", "fix"),
    [
        ("[season\ntitle = 'x'\n", 1, "close the heading with ] at its end."),
        ("a = \u201cx\u201d\n", 1, 'use straight quotation marks: "'),
        ("a = 'x'\nb = 007\n", 2, "write the number without the zero in front: b = 7"),
        ("a =\n", 1, "write a value after the = sign, or remove the line: a ="),
        ('a = "x" second note\n', 1, "one line holds one key and one value; put a note after #."),
        ("just words\n", 1, "a line is a [heading], a key = value, or a note that starts with #."),
        ("b = FALSE\n", 1, "write it in small letters: b = false"),
        ("t = {a = 1, a = 2}\n", 1, "keep one of the two."),
        ("a = 1\nl = [\n  1,\n  2,\n", 2, "put ] after its last value, and a comma between values."),
        ('l = ["]", 1\nb = 2\n', 1, "put ] after its last value, and a comma between values."),
        (
            "d = 2027-02-30\n",
            1,
            "write a day that exists as year-month-day, with two digits each: d = 2027-05-01",
        ),
        ('p = "D:\\maps\\x.shp"\n', 1, 'write folders with /: "D:/maps/x.shp"'),
    ],
)
def test_the_likeliest_remedy(text: str, line: int, fix: str) -> None:
    problem = problem_of(text)
    assert (problem.code, problem.line, problem.fix) == ("syntax", line, fix)


def test_text_never_closed_is_reported_with_its_last_line() -> None:
    problem = problem_of('a = """x\ny\n')
    assert problem.line is not None
    assert problem.code == "syntax"


def test_hostile_characters_are_shown_as_escapes() -> None:
    assert "\\u202e" in problem_of("a = \u202ex\n").what
