"""Lines that can be pasted where a key or a table is missing."""

from collections.abc import Mapping

from geo_scout.model.columns import RASTER_LAYERS, TABLE_LAYERS
from geo_scout.model.criteria import Curve
from geo_scout.model.setting import Table
from geo_scout.season.fields import Slot, slots_of
from geo_scout.season.wording import KeyPath, header, show_key, toml_value

_TEXTS = {
    "agents": '["agents/NAME.toml"]',
    "name": '"NAME"',
    "host": '"WEED"',
    "jurisdiction": '"NAME"',
}


def pasteable_path(layer: str) -> str:
    """Return the line that says where a layer's file is."""
    ending = "tif" if layer in RASTER_LAYERS else "csv" if layer in TABLE_LAYERS else "gpkg"
    return f'path = "layers/FILE.{ending}"'


def pasteable(key: str, slot: Slot) -> str:
    """Return a line for one missing key: the only choice, or a blank that cannot pass unfilled.

    A number stays the letter N, because a number from us would pass for one from the user.
    """
    return f"{show_key(key)} = {_blank(key, slot)}"


def _blank(key: str, slot: Slot) -> str:
    if slot.model is not None and slot.kind == "table":
        inner = slots_of(slot.model, slot.unit)
        return "{" + ", ".join(pasteable(name, item) for name, item in _to_fill(slot.model, inner)) + "}"
    if slot.is_sourced:
        return '{value = N, source = "..."}'
    if slot.choices:
        return toml_value(slot.choices[0])
    if key in _TEXTS:
        return _TEXTS[key]
    blanks = {"texts": '["..."]', "yes or no": "false", "date": "2027-05-01", "text": '"..."'}
    return blanks.get(slot.kind, "N")


def _to_fill(model: type[Table], inner: Mapping[str, Slot]) -> list[tuple[str, Slot]]:
    """Return the keys a table cannot do without; a curve is pasted with the limits of most shapes."""
    pasted = ("from", "to") if model is Curve else ()
    return [(name, slot) for name, slot in inner.items() if slot.is_needed or name in pasted]


def pasteable_table(path: KeyPath, slot: Slot) -> str:
    """Return the lines for one missing table, with the keys it cannot do without."""
    if slot.model is None:
        return header(path)
    tables, lines = _tables(path, slot.model), [header(path, is_list=slot.kind == "tables")]
    if tables:
        return "\n".join(pasteable_table((*path, name), item) for name, item in tables)
    if path[0] == "layers":
        return "\n".join([*lines, pasteable_path(str(path[-1]))])
    lines += [pasteable(name, item) for name, item in _to_fill(slot.model, slots_of(slot.model))]
    return "\n".join(lines)


def _tables(path: KeyPath, model: type[Table]) -> list[tuple[str, Slot]]:
    """Return the tables a table cannot do without; only the layers are such a table."""
    if path != ("layers",):
        return []
    return [(name, slot) for name, slot in slots_of(model).items() if slot.is_needed]


def blanks_note(lines: str, slot: Slot) -> str:
    """Return what to fill in for the blank N of pasteable lines; empty where there is no blank."""
    if "= N" not in lines:
        return ""
    return (
        f", with your own number ({slot.range_text()}) for N"
        if slot.range_text()
        else ", with your own number for N"
    )
