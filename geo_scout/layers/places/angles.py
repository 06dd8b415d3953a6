"""Longitudes and latitudes as people write them: decimal, or degrees, minutes and seconds."""

import re
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.text_values import Numbers, Texts, as_numbers, as_texts

Axis = Literal["longitude", "latitude"]

_LETTERS: dict[Axis, dict[str, float]] = {
    "longitude": {"E": 1.0, "W": -1.0},
    "latitude": {"N": 1.0, "S": -1.0},
}
_WORDS = re.compile(
    r"\b(NORTH|SOUTH|EAST|WEST)\b|(DEGREES|DEGREE|DEG)\.?|(MINUTES|MINUTE|MIN)\.?"
    r"|(SECONDS|SECOND|SEC)\.?"
)
# Many keyboards and programs, the same three marks. Two single quotes are seconds.
_DEGREE_MARKS = "\N{MASCULINE ORDINAL INDICATOR}\N{RING ABOVE}\N{SUPERSCRIPT ZERO}"
_MINUTE_MARKS = (
    "\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}\N{LEFT SINGLE QUOTATION MARK}\N{MODIFIER LETTER PRIME}"
    "\N{ACUTE ACCENT}`"
)
_SECOND_MARKS = (
    "\N{DOUBLE PRIME}\N{RIGHT DOUBLE QUOTATION MARK}\N{LEFT DOUBLE QUOTATION MARK}"
    "\N{MODIFIER LETTER DOUBLE PRIME}"
)
_MARKS = {
    ord(mark): plain
    for marks, plain in (
        (_DEGREE_MARKS, "°"),
        (_MINUTE_MARKS, "'"),
        (_SECOND_MARKS, '"'),
        ("\N{MINUS SIGN}\N{EN DASH}", "-"),
        ("\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}", " "),
    )
    for mark in marks
}
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_SMALL = re.compile(rf"[+-]?{_NUMBER}E-[0-9]{{1,2}}")
_ANGLE = re.compile(
    rf"(?P<front>[NSEWO]?)\s*(?P<sign>[+-]?)\s*(?P<degrees>{_NUMBER})"
    rf"(?:(?P<between>\s*[°D:]\s*|\s+|\s*-\s*)(?P<minutes>{_NUMBER})"
    rf"(?:(?:\s*['M:]\s*|\s+|\s*-\s*)(?P<seconds>{_NUMBER}))?)?"
    r"\s*(?P<mark>[°D'\"M]?)\s*(?P<back>[NSEWO]?)"
)


@dataclass(frozen=True)
class _Read:
    """One angle: its value in degrees, whether its side of zero was said, and what is wrong with it."""

    value: float = np.nan
    says_side: bool = False
    has_letter: bool = False
    problem: str = ""


def read_angles(values: NDArray[Any], axis: Axis) -> tuple[Numbers, Texts]:
    """Return values as decimal degrees, and what is wrong with each that cannot be read without a guess.

    Parameters
    ----------
    values
        Numbers or text, (n,): -109.61, 47,25; 47°15'30.5"N, 47 15 30.5 N, N47 15.508, -109:26:05.
    axis
        Which of the two they are.

    Returns
    -------
    degrees, problems
        nan where missing or unreadable [deg]; "" where nothing is wrong.

    Notes
    -----
    A comma before the last digits is a decimal comma: no degree, minute or second reaches a thousand.
    Where some rows name their hemisphere by a letter, a row with neither letter nor sign is not read.
    60.0 seconds or minutes, with decimals, are the next minute or degree: programs round so.

    Examples
    --------
    >>> degrees, problems = read_angles(np.array(["109°30'W", "109 75 W", ""], dtype=object), "longitude")
    >>> degrees.tolist(), problems.tolist()
    ([-109.5, nan, nan], ['', 'has 75 minutes; there are less than 60', ''])
    """
    problems = np.full(len(values), "", dtype=object)
    if values.dtype.kind in "iuf":
        return as_numbers(values)[0], problems
    texts = as_texts(values)
    known = {text: _read(text, axis) for text in set(texts.tolist())}
    read = [known[text] for text in texts]
    degrees = np.array([one.value for one in read], dtype=np.float64)
    problems[:] = [one.problem for one in read]
    if any(one.has_letter for one in read):
        is_open = np.array([not one.says_side and one.value > 0.0 for one in read], dtype=bool)
        letters = " or ".join(_LETTERS[axis])
        problems[is_open] = f"names no {letters}, which other rows do"
        degrees[is_open] = np.nan
    return degrees, problems


def _read(text: str, axis: Axis) -> _Read:
    if not text:
        return _Read()
    plain = _WORDS.sub(_letter, text.upper().translate(_MARKS)).replace("''", '"').strip()
    plain = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", plain)
    if re.search(r"[0-9]\s*M.*[0-9]\s*S$", plain):
        # In letters, d m s; the last may as well be south, unless the hemisphere stands in front.
        if plain[0] not in "NSEW":
            return _Read(problem="ends in s, which may be seconds or south")
        plain = plain[:-1] + '"'
    plain = re.sub(r"(?<=[0-9])\s*S(?=\s*[NSEW]$)", '"', plain)
    if _SMALL.fullmatch(plain):
        return _Read(float(plain), plain[0] in "+-")
    found = _ANGLE.fullmatch(plain)
    if found is None:
        return _Read(problem="is not a number of degrees")
    letters = found["front"] + found["back"]
    problem = _doubt(found, letters, axis)
    if problem:
        return _Read(problem=problem)
    parts = [float(found[name] or 0.0) for name in ("degrees", "minutes", "seconds")]
    size = parts[0] + parts[1] / 60.0 + parts[2] / 3600.0
    side = _LETTERS[axis].get(letters, -1.0 if found["sign"] == "-" else 1.0)
    return _Read(side * size, bool(letters or found["sign"]), bool(letters))


def _letter(word: re.Match[str]) -> str:
    if word[1]:
        return word[1][0]
    return "°" if word[2] else "'" if word[3] else '"'


def _doubt(found: re.Match[str], letters: str, axis: Axis) -> str:
    """Return what keeps an angle from having one meaning; empty where nothing does."""
    if len(letters) > 1:
        return "names its hemisphere twice"
    if letters == "O":
        return "says O, which may be Ost (east) or oeste and ouest (west)"
    if letters and letters not in _LETTERS[axis]:
        return f"says {letters}, which is no {axis}; the two look swapped"
    if letters and found["sign"]:
        return "has both a sign and a letter"
    whole = [found["degrees"], *([found["minutes"]] if found["seconds"] else [])]
    if found["minutes"] and any("." in part for part in whole):
        return "has decimals before its last part"
    for part in ("minutes", "seconds"):
        if found[part] and float(found[part]) >= 60.0 and not _is_rounded_up(found[part]):
            return f"has {float(found[part]):g} {part}; there are less than 60"
    is_hyphened = (found["between"] or "").strip() == "-"
    if is_hyphened and not (letters or found["seconds"]):
        return "may be a range or degrees and minutes"
    return _wrong_mark(found)


def _is_rounded_up(part: str) -> bool:
    """Return whether a program rounded 59.99... up to 60.0, which carries over; a plain 60 may be a slip."""
    return "." in part and float(part) == 60.0


def _wrong_mark(found: re.Match[str]) -> str:
    """Return the sentence for a mark that contradicts its place, such as seconds marked as minutes."""
    place = 2 if found["seconds"] else 1 if found["minutes"] else 0
    marks = ("°D", "'M", '"')
    is_wrong = bool(found["mark"]) and found["mark"] not in marks[place]
    return "has its marks in another order than degrees, minutes, seconds" if is_wrong else ""
