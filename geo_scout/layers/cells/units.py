"""Units of cover and area as the season states them, with the documented defaults."""

from collections.abc import Mapping

import numpy as np

from geo_scout.formulas.cover_classes import SCHEMES, CoverScheme
from geo_scout.layers.cells.cover_schemes import CLASS, schemes_of
from geo_scout.layers.drafts import LayerDraft, Rows
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.listed import listed

# The international foot is 0.3048 m and the acre 43,560 square feet, both exactly.
M2_PER_AREA_UNIT: Mapping[str, float] = {
    "ha": 10_000.0,
    "acre": 4046.8564224,
    "m2": 1.0,
    "ft2": 0.09290304,
    "km2": 1_000_000.0,
}
DEFAULT_AREA_UNIT, DEFAULT_COVER_UNIT = "ha", "percent"


def check_units(draft: LayerDraft) -> None:
    """Stop the layer where the season states a unit that does not exist."""
    units = {
        "area": tuple(M2_PER_AREA_UNIT),
        "cover": ("percent", "share", *(f"{CLASS}{name}" for name in schemes_of(draft.season))),
    }
    for key, unit in draft.table.units.items():
        if key not in units:
            what = f"`units` names '{key}', which has no unit of its own; it can name {listed(list(units))}."
            draft.say(
                "unit-unknown",
                "stop",
                what,
                f'For instance: units = {{cover = "percent"}}{did_you_mean(key, units)}',
            )
        elif unit not in units[key]:
            what = f"'{unit}' is no unit of {key}; it can be {listed(units[key])}."
            fix = f'For instance: units = {{{key} = "{units[key][0]}"}}{did_you_mean(unit, units[key])}'
            draft.say("unit-unknown", "stop", what, fix)


def area_unit(draft: LayerDraft) -> tuple[str, float]:
    """Return the unit of the layer's areas and its square metres; says so where it is the default."""
    unit = draft.table.units.get("area")
    if unit is None:
        unit = DEFAULT_AREA_UNIT
        if draft.frame["area"].notna().any():
            _say_default(draft, "area", unit, "hectares")
    return unit, M2_PER_AREA_UNIT[unit]


def cover_unit(draft: LayerDraft) -> str:
    """Return "percent", "share" or a scheme's name; says so where it is the default."""
    unit = draft.table.units.get("cover")
    if unit is None:
        if (~is_blank_cover(draft) & (draft.texts("cover_scheme") == "")).any():
            _say_default(draft, "cover", DEFAULT_COVER_UNIT, "percent")
        return DEFAULT_COVER_UNIT
    return unit.removeprefix(CLASS)


def scheme_name(written: str, schemes: Mapping[str, CoverScheme] = SCHEMES) -> str:
    """Return the unit or scheme a row names, spelt as ours; empty where there is none of that name.

    Examples
    --------
    >>> scheme_name("class:Braun Blanquet"), scheme_name("pct")
    ('braun-blanquet', '')
    """
    known = {_plain(name): name for name in ("percent", "share", *schemes)}
    return known.get(_plain(written.casefold().removeprefix(CLASS)), "")


def is_blank_cover(draft: LayerDraft) -> Rows:
    """Return which rows have no cover written; numbers are kept as numbers."""
    written = draft.frame["cover"].to_numpy()
    if written.dtype.kind in "iuf":
        return np.isnan(written.astype(np.float64))
    return np.asarray(written.astype(object) == "", dtype=bool)


def _plain(name: str) -> str:
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())


def _say_default(draft: LayerDraft, key: str, unit: str, words: str) -> None:
    what = f"no unit of {key} is stated, so it was read as {words}, the default."
    draft.say("unit-assumed", "note", what, f'To be sure of it, add: units = {{{key} = "{unit}"}}')
