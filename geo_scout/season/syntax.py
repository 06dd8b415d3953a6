"""A file that is not TOML: the one place where reading stops, with the likeliest remedy."""

import re

from geo_scout.model.problem import Problem
from geo_scout.season.positions import read_positions
from geo_scout.season.wording import dotted, header, toml_value, visible

_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_STRINGS = re.compile(r"""\"(?:\\.|[^"\\])*\"|'[^']*'|#.*""")
_ASSIGNED = re.compile(r"\s*(?P<key>[\w.\"'-]+)\s*=\s*(?P<value>[^#]*?)\s*(?:#.*)?")
_COLON = re.compile(r"\s*(?P<key>[\w-]+)\s*:\s*(?P<value>.+)")
_BACKSLASHED = re.compile(r'"([^"]*\\[^"]*)"')
_DATE = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})")
_DECIMAL_COMMA = re.compile(r"([+-]?\d+),(\d+)")
_LEADING_ZERO = re.compile(r"[+-]?0+(\d+(?:\.\d+)?)")
_CURLY_QUOTES = "\u201c\u201d\u201e\u2018\u2019\u201a\u00ab\u00bb"


def syntax_problem(file: str, text: str, message: str) -> Problem:
    """Return the mistake for text that is not TOML.

    Parameters
    ----------
    file
        Name of the file as the user wrote it.
    text
        Its text.
    message
        What the TOML reader said.
    """
    lines = text.split("\n")
    place = _PLACE.search(message)
    row, column = (int(place.group(1)), int(place.group(2))) if place else (len(lines), 1)
    row, what, fix = (
        _repeat(text, message)
        or _open_bracket(lines, row, message)
        or (
            row,
            f"line {row} cannot be read at column {column}: {visible(lines[row - 1].strip())}",
            _line_fix(lines[row - 1].rstrip("\r")),
        )
    )
    return Problem("syntax", file, row, "", what, fix)


def _repeat(text: str, message: str) -> tuple[int, str, str] | None:
    """Return the remedy for a key or table written twice."""
    if not re.search(r"overwrite|twice|Duplicate", message):
        return None
    repeats = read_positions(text).repeats
    if not repeats:
        return None
    path, first, second = repeats[0]
    name = header(path) if second.is_header else dotted(path)
    what = f"{name} is written twice, on line {first.line} and on line {second.line}."
    return (
        second.line,
        what,
        "keep one of the two." if not second.is_header else "put its keys under one heading.",
    )


def _open_bracket(lines: list[str], row: int, message: str) -> tuple[int, str, str] | None:
    """Return the remedy for a list or table opened on an earlier line and never closed."""
    opened: list[tuple[str, int]] = []
    until = len(lines) if "end of document" in message else row - 1
    for number, line in enumerate(lines[:until], start=1):
        for character in _STRINGS.sub("", line):
            if character in "[{":
                opened.append((character, number))
            elif character in "]}" and opened:
                opened.pop()
    if not opened:
        return None
    bracket, number = opened[-1]
    closing = {"[": "]", "{": "}"}[bracket]
    what = (
        f"the bracket {bracket} opened on line {number} is not closed: {visible(lines[number - 1].strip())}"
    )
    return number, what, f"put {closing} after its last value, and a comma between values."


def _line_fix(line: str) -> str:
    """Return the likeliest remedy for one line."""
    bare = line.strip()
    if any(quote in line for quote in _CURLY_QUOTES):
        return 'use straight quotation marks: "'
    if bare.startswith("[") and not bare.split("#")[0].rstrip().endswith("]"):
        return "close the heading with ] at its end."
    slashed = _BACKSLASHED.search(line)
    if slashed is not None:
        plain = slashed.group(1).replace("\\\\", "/").replace("\\", "/")
        return f'write folders with /: "{plain}"'
    if len(re.findall(r'(?<!\\)"', line)) % 2:
        return "a quotation mark is missing; text stands between two of them."
    colon = _COLON.fullmatch(bare)
    if colon is not None and "=" not in bare:
        return f"put = between key and value: {colon.group('key')} = {colon.group('value')}"
    assigned = _ASSIGNED.fullmatch(line)
    if assigned is None:
        return "a line is a [heading], a key = value, or a note that starts with #."
    return _value_fix(assigned.group("key"), assigned.group("value"))


def _value_fix(key: str, value: str) -> str:
    if not value:
        return f"write a value after the = sign, or remove the line: {key} ="
    comma, zero = _DECIMAL_COMMA.fullmatch(value), _LEADING_ZERO.fullmatch(value)
    if comma is not None:
        return f"write decimals with a point: {key} = {comma.group(1)}.{comma.group(2)}"
    if zero is not None:
        return f"write the number without the zero in front: {key} = {zero.group(1)}"
    if _DATE.fullmatch(value):
        return f"write a day that exists as year-month-day, with two digits each: {key} = 2027-05-01"
    if value.casefold() in ("true", "false"):
        return f"write it in small letters: {key} = {value.lower()}"
    if value[0] in "\"'[{":
        return "one line holds one key and one value; put a note after #."
    return f"put text in quotes: {key} = {toml_value(value)}"
