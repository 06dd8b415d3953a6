"""Canopy cover: percent, share or a class of a scheme becomes a share with its limits."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.cover_classes import CoverScheme, cover_from_class
from geo_scout.layers.cells.cover_schemes import schemes_of
from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma, say_commas
from geo_scout.layers.cells.text_values import Numbers, Texts, as_texts, each_once
from geo_scout.layers.cells.units import cover_unit, is_blank_cover, scheme_name
from geo_scout.layers.drafts import LayerDraft, Rows, Why
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.listed import listed

_LARGEST = {"percent": 100.0, "share": 1.0}
_WORDS = {"percent": "percent", "share": "as a share"}
IMPOSSIBLE_COVER = Why(
    "cover-impossible", "impossible cover", "Correct it, or state the layer's unit of cover."
)
_RANGES = {"percent": "a number from 0 to 100", "share": "a number from 0 to 1"}


def read_cover(draft: LayerDraft) -> None:
    """Give the draft ``cover_share``, ``cover_low_share``, ``cover_high_share`` and ``cover_scheme``.

    A class becomes the middle of its scheme's class, and its limits are kept beside it. Rows with an
    impossible cover are set aside. Cover that is blank, unreadable or in an unknown scheme is unknown
    (nan), with a caution.
    """
    scheme, schemes = _schemes_by_row(draft), schemes_of(draft.season)
    written, is_filled = draft.frame["cover"].to_numpy(), ~is_blank_cover(draft)
    shares = np.full((3, len(written)), np.nan)
    direct, is_impossible = np.full(len(written), np.nan), np.zeros(len(written), dtype=bool)
    for name in dict.fromkeys(scheme.tolist()):
        rows = (scheme == name) & is_filled
        if name in schemes:
            low, middle, high = cover_from_class(as_texts(written[rows]).tolist(), schemes[name])
            shares[:, rows] = middle, low, high
        elif name in _LARGEST:
            direct[rows] = _direct(draft, written[rows], name)
            shares[:, rows] = direct[rows] / _LARGEST[name]
            is_impossible[rows] = (direct[rows] < 0.0) | (direct[rows] > _LARGEST[name])
    _say_unreadable(draft, is_filled & (scheme != "") & np.isnan(shares[0]), scheme, schemes)
    names = ("cover_share", "cover_low_share", "cover_high_share")
    draft.frame = draft.frame.assign(
        cover_scheme=np.where(np.isnan(shares[0]), "", scheme), **dict(zip(names, shares, strict=True))
    )
    what = [
        f"cover is {value:g} {_WORDS[unit]}; it can be 0 to {_LARGEST[unit]:g}."
        for value, unit in zip(direct[is_impossible], scheme[is_impossible], strict=True)
    ]
    draft.set_aside(is_impossible, IMPOSSIBLE_COVER, what)
    _say_doubts(draft)


def _schemes_by_row(draft: LayerDraft) -> Texts:
    of_layer, schemes = cover_unit(draft), schemes_of(draft.season)
    written = draft.texts("cover_scheme")
    found = each_once(written, lambda text: scheme_name(text, schemes) if text else of_layer)
    for text in sorted(set(written[found == ""].tolist())):
        rows = written == text
        choices = ("percent", "share", *schemes)
        known_ones = ", ".join(choices)
        what = (
            f"'{text}' is no cover scheme ({known_ones}); cover is unknown for {draft.told(rows, 'feature')}."
        )
        draft.say(
            "cover-scheme-unknown", "caution", what, f"Write one of these.{did_you_mean(text, choices)}"
        )
    return found


def _direct(draft: LayerDraft, written: NDArray[Any], unit: str) -> Numbers:
    if written.dtype.kind not in "iuf" and unit == "percent":
        written = each_once(as_texts(written), lambda text: text.removesuffix("%").strip())
    values, _, comma = as_numbers_with_comma(written, draft.table.decimal_comma)
    say_commas(draft, "cover", comma)
    return values


def _say_unreadable(draft: LayerDraft, rows: Rows, scheme: Texts, schemes: Mapping[str, CoverScheme]) -> None:
    written = draft.frame["cover"].to_numpy()
    for name in dict.fromkeys(scheme[rows].tolist()):
        here = rows & (scheme == name)
        is_class = name in schemes
        kind = f"class of {name}" if is_class else "number"
        takes = f"a class: {listed(list(schemes[name].classes))}" if is_class else _RANGES[name]
        why = Why("cover-unreadable", "", f"Write {takes}.", is_bad=False)
        what = [f"cover '{text}' is no {kind}; it is taken as unknown." for text in as_texts(written[here])]
        draft.remark(here, why, what)


def _say_doubts(draft: LayerDraft) -> None:
    share = draft.frame["cover_share"].to_numpy()
    is_missing = is_blank_cover(draft) & (draft.texts("result") != "none found")
    if is_missing.any():
        what = f"cover is blank for {draft.told(is_missing, 'feature')}; their infested area is unknown."
        draft.say("cover-missing", "caution", what, "Fill in an estimate in percent, even a rough one.")
    as_default = (draft.texts("cover_scheme") == "percent") & ~np.isnan(share)
    if as_default.any() and 0.0 < share[as_default].max() <= 0.01:
        what = f"no cover is above {100 * share[as_default].max():g} percent, so these may be shares of 1."
        draft.say("cover-may-be-share", "caution", what, 'If they are, write: units = {cover = "share"}')
    elif "cover" not in draft.table.units:
        _say_mixed(draft, as_default, share)


def _say_mixed(draft: LayerDraft, as_default: Rows, share: Numbers) -> None:
    """Doubt percents below 1 beside others of 10 and more: some may have been written as shares."""
    small = as_default & (share > 0.0) & (share < 0.01)
    if not small.any() or share[as_default].max() < 0.1:
        return
    what = (
        f"cover of {draft.told(small, 'feature')} is below 1 percent, beside others of up to "
        f"{100 * share[as_default].max():g} percent; if some were written as shares of 1, they count a "
        "hundred times too little."
    )
    fix = 'If they were, correct them; if all is in percent, say so: units = {cover = "percent"}'
    draft.say("cover-mixed", "caution", what, fix)
