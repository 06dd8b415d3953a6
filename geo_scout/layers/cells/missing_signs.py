"""Signs by which tables of weather say that nothing was measured: NA, M, -9999."""

_WORDS = frozenset({"na", "n/a", "nan", "null", "none", "m", "-", "--"})
_NUMBERS = frozenset({"-99", "-99.9", "-999", "-999.9", "999.9", "-9999", "9999", "99999"})


def is_missing_sign(text: str) -> bool:
    """Return whether a cell says that nothing was measured.

    >>> is_missing_sign("NA"), is_missing_sign("-9999.0"), is_missing_sign("9.5")
    (True, True, False)
    """
    return text.casefold() in _WORDS or text.removesuffix(".0") in _NUMBERS
