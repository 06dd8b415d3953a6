"""Lists and counts in sentences."""

from collections.abc import Sequence

LISTED_AT_MOST = 12


def listed(names: Sequence[str], at_most: int = LISTED_AT_MOST, between: str = ", ") -> str:
    """Return names for a sentence, the first ones and how many more.

    Examples
    --------
    >>> listed(["a", "b", "c"], at_most=2)
    'a, b and 1 more'
    """
    shown = between.join(names[:at_most])
    return f"{shown} and {len(names) - at_most} more" if len(names) > at_most else shown


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun.

    Examples
    --------
    >>> counted(1, "feature"), counted(1200, "feature")
    ('1 feature', '1,200 features')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"
