"""Names as people mean them when they compare two."""


def folded(text: str) -> str:
    """Return the text as it is compared: trimmed, one space between words, capitals do not matter.

    Examples
    --------
    >>> folded("  Leafy   Spurge ")
    'leafy spurge'
    """
    return " ".join(text.split()).casefold()
