"""A user's text: visible in the page, unable to be anything but text."""

import json

import pytest

from geo_scout.model.visible_text import printable
from geo_scout.outputs.map.text import json_block


@pytest.mark.parametrize("code", [*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x00, 0x1B, 0x7F, 0xD800])
def test_characters_that_hide_or_reorder_are_written_out(code: int) -> None:
    assert printable(f"a{chr(code)}b") == f"a\\u{code:04X}b"


@pytest.mark.parametrize("text", ["Ørsted Ås", "葛の谷", "tab\tand\nline", "שלום", "e\u0301"])
def test_ordinary_text_is_left_alone(text: str) -> None:
    assert printable(text) == text


def test_a_block_holds_no_markup_and_reads_back_the_same() -> None:
    told = {"name": "</script><!-- & \u2028 \u2029 ' \" ` ${1} {{ 7*7 }}"}
    block = json_block("told", told)
    inside = block.removeprefix('<script type="application/json" id="told">').removesuffix("</script>")
    assert not set("<>&\u2028\u2029") & set(inside)
    assert json.loads(inside) == told


def test_a_number_that_json_does_not_know_is_refused() -> None:
    with pytest.raises(ValueError, match="Out of range float values"):
        json_block("told", {"score": float("nan")})
