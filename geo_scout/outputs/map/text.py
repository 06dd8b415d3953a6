"""How a user's text travels into the page: visible, and never as markup, template or script."""

import json
from collections.abc import Mapping

# Inside a script element these would end it, open a comment, or end a line of JavaScript.
_HTML_ESCAPES = {character: f"\\u{ord(character):04x}" for character in "<>&\u2028\u2029"}


def json_block(element_id: str, value: Mapping[str, object]) -> str:
    r"""Return a data element that the page's scripts read; nothing inside it can run.

    Parameters
    ----------
    element_id
        Id of the element, ours.
    value
        What it carries. Numbers must be finite.

    Examples
    --------
    >>> json_block("d", {"name": "<b>"})
    '<script type="application/json" id="d">{"name":"\\u003cb\\u003e"}</script>'
    """
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for character, escape in _HTML_ESCAPES.items():
        text = text.replace(character, escape)
    return f'<script type="application/json" id="{element_id}">{text}</script>'
