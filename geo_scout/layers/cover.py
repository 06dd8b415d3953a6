"""Canopy cover: percent, share or a class of a published scheme becomes a share with its limits."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.cover_classes import SCHEMES, cover_from_class
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.text_values import Texts, as_numbers
from geo_scout.layers.units import cover_unit, scheme_name
from geo_scout.layers.wording import did_you_mean

_LARGEST = {"percent": 100.0, "share": 1.0}
IMPOSSIBLE_COVER = Why(
    "cover-impossible", "impossible cover", "Correct it, or state the layer's unit of cover."
)
UNREADABLE_COVER = Why("cover-unreadable", "", "Write a number, or a class of the scheme.", is_bad=False)


def read_cover(draft: LayerDraft) -> None:
    """Give the draft ``cover_share``, ``cover_low_share``, ``cover_high_share`` and ``cover_scheme``.

    Rows with an impossible cover are set aside. Cover that is blank, unreadable or in an unknown scheme
    is unknown (nan), with a caution.
    """
    scheme = _schemes_by_row(draft)
    written = draft.texts("cover")
    shares = np.full((3, len(written)), np.nan)
    impossible, sentences = np.zeros(len(written), dtype=bool), np.full(len(written), "", dtype=object)
    for name in dict.fromkeys(scheme.tolist()):
        rows = (scheme == name) & (written != "")
        if name in SCHEMES:
            low, middle, high = cover_from_class(written[rows].tolist(), name)
            shares[:, rows] = middle, low, high
        elif name in _LARGEST:
            values, sentences[rows] = _direct(written[rows], name)
            shares[:, rows] = values / _LARGEST[name]
            impossible[rows] = (values < 0.0) | (values > _LARGEST[name])
    unreadable = (written != "") & (scheme != "") & np.isnan(shares[0])
    what = [
        f"cover '{w}' is not a value of '{s}'; it is taken as unknown."
        for w, s in zip(written[unreadable], scheme[unreadable], strict=True)
    ]
    draft.remark(unreadable, UNREADABLE_COVER, what)
    names = ("cover_share", "cover_low_share", "cover_high_share")
    draft.frame = draft.frame.assign(
        cover_scheme=np.where(np.isnan(shares[0]), "", scheme), **dict(zip(names, shares, strict=True))
    )
    draft.set_aside(impossible, IMPOSSIBLE_COVER, [str(sentence) for sentence in sentences[impossible]])
    _say_doubts(draft)


def _schemes_by_row(draft: LayerDraft) -> Texts:
    of_layer = cover_unit(draft)
    written = draft.texts("cover_scheme")
    known = {text: scheme_name(text) if text else of_layer for text in set(written)}
    for text in sorted(text for text, name in known.items() if not name):
        rows = written == text
        choices = ("percent", "share", *SCHEMES)
        known_ones = ", ".join(choices)
        what = (
            f"'{text}' is no cover scheme ({known_ones}); cover is unknown for {draft.told(rows, 'feature')}."
        )
        draft.say(
            "cover-scheme-unknown", "caution", what, f"Write one of these.{did_you_mean(text, choices)}"
        )
    schemes = np.empty(len(written), dtype=object)
    schemes[:] = [known[text] for text in written]
    return schemes


def _direct(written: Texts, unit: str) -> tuple[NDArray[np.float64], list[str]]:
    plain = np.array([t.removesuffix("%").strip() if unit == "percent" else t for t in written], dtype=object)
    values, _ = as_numbers(plain)
    words = "percent" if unit == "percent" else "as a share"
    return values, [f"cover is {value:g} {words}; it can be 0 to {_LARGEST[unit]:g}." for value in values]


def _say_doubts(draft: LayerDraft) -> None:
    share = draft.frame["cover_share"].to_numpy()
    is_missing = (draft.texts("cover") == "") & (draft.texts("result") != "none found")
    if is_missing.any():
        what = f"cover is blank for {draft.told(is_missing, 'feature')}; their infested area is unknown."
        draft.say("cover-missing", "caution", what, "Fill in an estimate in percent, even a rough one.")
    as_default = (draft.texts("cover_scheme") == "percent") & ~np.isnan(share)
    if "cover" not in draft.table.units and as_default.any() and 0.0 < share[as_default].max() <= 0.01:
        what = f"no cover is above {100 * share[as_default].max():g} percent, so these may be shares of 1."
        draft.say("cover-may-be-share", "caution", what, 'If they are, add: units = {cover = "share"}')
