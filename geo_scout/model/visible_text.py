"""Text that hides or reorders other text is written out, so that a reader sees it."""

import re

_BIDI_CONTROLS = "\u202a-\u202e\u2066-\u2069"
_OTHER_CONTROLS = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"
_LONE_SURROGATES = "\ud800-\udfff"
_HIDDEN = re.compile(f"[{_BIDI_CONTROLS}{_OTHER_CONTROLS}{_LONE_SURROGATES}]")


def printable(text: str) -> str:
    r"""Return the text with every character that hides or reorders others written out.

    Examples
    --------
    >>> print(printable("gate\u202ekcab"))
    gate\u202Ekcab
    """
    if text.isprintable():
        return text  # the hidden characters are none that Python calls printable
    return _HIDDEN.sub(lambda found: f"\\u{ord(found.group()):04X}", text)
