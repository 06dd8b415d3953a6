"""Units of canopy cover and area, from names, values and measured shapes."""

from collections.abc import Iterator

import numpy as np

from geo_scout.formulas.cover_classes import SCHEMES
from geo_scout.layers.cells.text_values import as_numbers
from geo_scout.layers.cells.units import M2_PER_AREA_UNIT
from geo_scout.layers.inspect.cell_tests import examples, range_words
from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.inspect.spare_columns import spare_columns
from geo_scout.layers.inspect.unit_words import area_unit_of
from geo_scout.model.draft import BLANK, FoundColumn, LayerGuess, SettingGuess
from geo_scout.model.listed import counted, listed

UNIT_NAMES = {
    "ha": "hectares",
    "acre": "acres",
    "m2": "square metres",
    "ft2": "square feet",
    "km2": "square km",
}
_SCHEME_CHOICES = tuple(f"class:{name}" for name in SCHEMES)
_LOWEST_PERCENT = 6.0
"""No class of a published scheme has a number above this, so a larger one is a percentage."""
_ALIKE_SHARE, _LEAST_MEASURED = 0.02, 3


def guess_units(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield the units of the infestations' cover and area, and the area of points that state none."""
    cover, area = layer.matched("cover"), layer.matched("area")
    if cover is not None and cover.filled:
        yield cover_unit_of(cover)
    if area is not None and area.filled:
        yield from _area_unit(area, layer)
    yield from _point_area(layer, area)


def cover_unit_of(cover: FoundColumn) -> SettingGuess:
    """Return the guess of the unit of a column of cover, or the question for it."""
    words = set(words_of(cover.name))
    if all(text.endswith("%") for text in cover.counts):
        return SettingGuess("units.cover", "percent", f"its cells say %, {examples(cover)}")
    says_percent = "percent" in words
    says_class = bool(words & {"class", "code", "category", "daubenmire", "braun"})
    if cover.numbers_share < 0.9 and not says_percent:
        named = next((name for name in SCHEMES if name.split("-")[0] in words), "")
        if named:
            return SettingGuess("units.cover", f"class:{named}", f"the column's name says {named}")
        return _ask_cover(cover, f"its cells are {examples(cover, 4)}")
    if says_percent and cover.most > 1.0:
        return SettingGuess("units.cover", "percent", f"the name says percent; {range_words(cover)}")
    if cover.most > _LOWEST_PERCENT and not says_class:
        return SettingGuess(
            "units.cover", "percent", f"{range_words(cover)}: too high for a share or a class"
        )
    if cover.most <= 1.0 and not cover.is_whole and not says_class and not says_percent:
        return SettingGuess(
            "units.cover", "share", f"{range_words(cover)}, with decimals: too low for percent"
        )
    return _ask_cover(cover, range_words(cover))


def _ask_cover(cover: FoundColumn, seen: str) -> SettingGuess:
    question = (
        f"What do the values of '{cover.name}' mean: percent, a share of 1, or classes of a scheme? {seen} "
        f"can be more "
        "than one of these. A scheme of your own goes under [cover_schemes.NAME] and is called class:NAME."
    )
    choices = ("percent", "share", *_SCHEME_CHOICES)
    return SettingGuess("units.cover", BLANK, seen, question, choices, is_needed=True)


def _area_unit(area: FoundColumn, layer: LayerGuess) -> Iterator[SettingGuess]:
    words = words_of(area.name)
    named = area_unit_of(area.name)
    measured, how = _measured_unit(area, layer)
    if named and measured and named != measured:
        question = (
            f"In which unit is '{area.name}'? Its name says {UNIT_NAMES[named]}, but {how} say "
            f"{UNIT_NAMES[measured]}."
        )
        yield SettingGuess("units.area", BLANK, how, question, tuple(M2_PER_AREA_UNIT), is_needed=True)
        return
    if named or measured:
        says = f"the name says {UNIT_NAMES[named]}" if named else ""
        evidence = "; ".join(part for part in (says, how if measured else "") if part)
        infested = bool({"infested", "net"} & set(words))
        question = (
            f"Is '{area.name}' the whole outline? The area is multiplied by the cover; an area that is "
            f"already "
            "infested area would count the cover twice. If it is, give the gross area instead."
            if infested
            else ""
        )
        yield SettingGuess("units.area", named or measured, evidence, question)
        return
    if not needs_area(layer):
        # The area of a polygon is measured; its column is not used.
        return
    question = f"In which unit is '{area.name}'? Neither its name nor its {range_words(area)} say."
    yield SettingGuess(
        "units.area", BLANK, range_words(area), question, tuple(M2_PER_AREA_UNIT), is_needed=True
    )


def _measured_unit(area: FoundColumn, layer: LayerGuess) -> tuple[str, str]:
    """Return the unit in which the column agrees with the measured polygons, and how many agree."""
    measured_m2 = np.array(layer.vector.area_m2 if layer.vector else (), dtype=np.float64)
    stated, _ = as_numbers(np.array(area.values, dtype=object))
    if measured_m2.size != stated.size:
        return "", ""
    both = np.isfinite(stated) & (stated > 0.0) & (measured_m2 > 0.0)
    if both.sum() < _LEAST_MEASURED:
        return "", ""
    ratio = float(np.median(measured_m2[both] / stated[both]))
    for unit, m2 in M2_PER_AREA_UNIT.items():
        if abs(ratio / m2 - 1.0) <= _ALIKE_SHARE:
            return unit, f"{counted(int(both.sum()), 'measured polygon')} agree with {UNIT_NAMES[unit]}"
    return "", ""


def needs_area(layer: LayerGuess) -> bool:
    """Return whether a layer has rows whose area has to stand in a column: points."""
    return layer.vector is not None and (layer.vector.points > 0 or layer.vector.shapes == "no shapes")


def _point_area(layer: LayerGuess, area: FoundColumn | None) -> Iterator[SettingGuess]:
    """Yield the question for points whose area nobody wrote down."""
    found = layer.vector
    if found is None or not needs_area(layer):
        return
    points = found.points if found.shapes != "no shapes" else (found.rows or 0)
    without = points - (_points_with_area(layer, area) if area is not None else 0)
    if without <= 0:
        return
    ask = "How large is an infestation that is a point without an area, in hectares?"
    if area is None:
        spare = [f"'{column.name}'" for column in spare_columns(layer, "area")]
        maybe = f", though {listed(spare, 4)} may hold it" if spare else ""
        evidence = f"no column was recognised as the area{maybe}"
        question = (
            f"{ask} No column was taken for the area of the {counted(points, 'point')}{maybe}; without an "
            "answer points without an area are set aside."
        )
        yield SettingGuess("point_area_ha", None, evidence, question, is_needed=True)
        return
    question = (
        f"{ask} {without:,} of {counted(points, 'point')} state none; without an answer they are set aside."
    )
    evidence = f"{counted(without, 'point')} without an area"
    yield SettingGuess("point_area_ha", None, evidence, question)


def _points_with_area(layer: LayerGuess, area: FoundColumn) -> int:
    found = layer.vector
    if found is None or len(found.area_m2) != len(area.values):
        return area.filled
    pairs = zip(found.area_m2, area.values, strict=True)
    return sum(bool(text) and measured == 0.0 for measured, text in pairs)
