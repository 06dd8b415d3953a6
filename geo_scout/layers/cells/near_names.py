"""Names so near that they may be one name spelt in two ways."""

import re
from collections.abc import Sequence

_LEAST_LETTERS, _SHORT_PLURAL = 4, 3


def are_near(one: str, other: str) -> bool:
    """Return whether two names differ by a letter, a hyphen, a space or a plural, and nothing else.

    Capitals do not matter. A figure, or a letter of a word of less than four, tells
    two things apart: "biotype 1" and "biotype 2" are not near.

    Examples
    --------
    >>> are_near("stem weevil", "Stem-Weevils"), are_near("stem weevil", "stem weevill")
    (True, True)
    >>> are_near("stem weevil", "seed weevil"), are_near("biotype 1", "biotype 2")
    (False, False)
    """
    ours, theirs = _words(one), _words(other)
    if "".join(ours) == "".join(theirs):
        return True
    if len(ours) != len(theirs):
        return _letter_apart("".join(ours), "".join(theirs))
    different = [(a, b) for a, b in zip(ours, theirs, strict=True) if a != b]
    return len(different) == 1 and _letter_apart(*different[0])


def near_groups(names: Sequence[str]) -> list[list[int]]:
    """Return the places of names in groups: each is near one of its group that came before it.

    Examples
    --------
    >>> near_groups(["stem weevil", "leaf beetle", "stem-weevil", "stem weevill"])
    [[0, 2, 3], [1]]
    """
    groups: list[list[int]] = []
    for place, name in enumerate(names):
        near = [group for group in groups if any(are_near(name, names[member]) for member in group)]
        merged = sorted([place, *(member for group in near for member in group)])
        groups = sorted([*(group for group in groups if group not in near), merged])
    return groups


def _words(name: str) -> list[str]:
    return [_singular(word) for word in re.findall(r"[^\W_]+", name.casefold())]


def _singular(word: str) -> str:
    if len(word) > _SHORT_PLURAL + 1 and word.endswith("ies"):
        return word[:-3] + "y"
    is_plural = len(word) > _SHORT_PLURAL and word.endswith("s") and not word.endswith(("ss", "us", "is"))
    return word[:-1] if is_plural else word


def _letter_apart(one: str, other: str) -> bool:
    """Return whether a letter is added, lost, changed, or two are exchanged."""
    short, long = sorted((one, other), key=len)
    if len(short) < _LEAST_LETTERS or len(long) - len(short) > 1:
        return False
    start = next((i for i, (a, b) in enumerate(zip(short, long, strict=False)) if a != b), len(short))
    if len(long) > len(short):
        return long[start].isalpha() and short[start:] == long[start + 1 :]
    is_changed = short[start + 1 :] == long[start + 1 :]
    is_turned = short[start : start + 2] == long[start : start + 2][::-1]
    is_turned = is_turned and short[start + 2 :] == long[start + 2 :]
    return short[start].isalpha() and long[start].isalpha() and (is_changed or is_turned)
