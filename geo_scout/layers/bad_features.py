"""What a layer that stops tells of the features that cannot be used."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

BAD_TOLD = 3
"""Bad features that a stop tells of; our choice."""


@dataclass(frozen=True, slots=True)
class BadFeature:
    """One feature that cannot be used.

    Parameters
    ----------
    reason
        Two or three words for the counts by reason.
    label
        The user's id, or the row number.
    sentence
        What is wrong, with the text of the cell.
    fix
        What the user can do about it.
    """

    reason: str
    label: str
    sentence: str
    fix: str


def first_told(found: Sequence[BadFeature]) -> list[BadFeature]:
    """Return the few to tell of: the first of each reason before the second of any.

    Examples
    --------
    >>> bad = [BadFeature(reason, label, "", "") for reason, label in ("ax", "ay", "az", "bu")]
    >>> [one.label for one in first_told(bad)]
    ['x', 'u', 'y']
    """
    seen: Counter[str] = Counter()
    ranks = []
    for one in found:
        ranks.append(seen[one.reason])
        seen[one.reason] += 1
    order = sorted(range(len(found)), key=lambda at: ranks[at])
    return [found[at] for at in order[:BAD_TOLD]]


def how_to_mend(shown: Sequence[BadFeature], *, is_all: bool) -> str:
    """Return the fix of those shown, each once; with others left, that they may do without them.

    Parameters
    ----------
    shown
        Features of `first_told`.
    is_all
        Whether no feature of the layer can be used.
    """
    fixes = list(dict.fromkeys(one.fix for one in shown))
    told = fixes
    if len(fixes) > 1:
        told = [f"{next(one.label for one in shown if one.fix == fix)}: {fix}" for fix in fixes]
    fix = told[0]
    for further in told[1:]:
        fix += f"{' ' if fix.endswith('.') else '; '}{further}"
    if is_all:
        return fix
    return (
        f"{fix}{' Or' if fix.endswith('.') else '; or'} raise max_bad_share under [rules] to do without them."
    )
