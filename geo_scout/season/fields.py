"""What the models allow at each place of a file: kind, range, unit, default, meaning."""

import datetime as dt
import types
import typing
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal

from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from geo_scout.model.quantities import CLIMATE_LIMITS, CLIMATE_VARIABLES, HEAT_SUM
from geo_scout.model.setting import Estimate, Sourced, Table
from geo_scout.season.wording import KeyPath, show_number, unit_words

Kind = Literal[
    "table",
    "tables",
    "mapping",
    "text",
    "texts",
    "places",
    "place",
    "number",
    "numbers",
    "whole number",
    "yes or no",
    "date",
    "choice",
]
_PLAIN_KINDS: dict[Any, Kind] = {
    str: "text",
    float: "number",
    int: "whole number",
    bool: "yes or no",
    dt.date: "date",
}
_INHERITED_UNITS = ("of the measure", "of the quantity")


@dataclass(frozen=True)
class Slot:
    """What may stand at one place of a file.

    Parameters
    ----------
    kind
        Kind of value.
    model
        The table's model, for a table or a list of tables.
    item
        Annotation of the values of a mapping.
    choices
        The values allowed, where they can be counted.
    least, most, above, below
        Inclusive limits, exclusive lower and exclusive upper limit, in the unit.
    pattern
        Regular expression a text must match.
    unit, meaning, source
        As declared with the setting.
    default
        Default value; ``PydanticUndefined`` where the file must state one.
    is_sourced
        True where ``{value = ..., source = ...}`` is allowed.
    has_range
        True where ``low`` and ``high`` may stand beside the value.
    """

    kind: Kind
    model: type[Table] | None = None
    item: Any = None
    choices: tuple[str | int, ...] = ()
    least: float | None = None
    most: float | None = None
    above: float | None = None
    below: float | None = None
    pattern: str = ""
    unit: str = ""
    meaning: str = ""
    source: str = ""
    default: Any = PydanticUndefined
    is_sourced: bool = False
    has_range: bool = False

    @property
    def is_needed(self) -> bool:
        """Whether the file must state a value."""
        return self.default is PydanticUndefined

    def range_text(self) -> str:
        """Return the range in words, with the unit; empty where there is no limit."""
        unit = unit_words(self.unit)
        most = "" if self.most is None else show_number(self.most)
        if self.least is not None:
            least = show_number(self.least)
            return f"{least} to {most}{unit}" if most else f"at least {least}{unit}"
        if self.above is not None:
            above = f"more than {show_number(self.above)}{unit}"
            if self.below is not None:
                return f"{above}, less than {show_number(self.below)}{unit}"
            return f"{above}, at most {most}{unit}" if most else above
        return f"at most {most}{unit}" if most else ""


@cache
def slots_of(model: type[Table], unit_around: str = "") -> Mapping[str, Slot]:
    """Return what a table may hold, by key as the file writes it; worked out once for each table."""
    return {
        field.alias or name: slot_of_field(field, unit_around) for name, field in model.model_fields.items()
    }


def slot_of_field(field: FieldInfo, unit_around: str = "") -> Slot:
    """Return what a field of a model allows."""
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    unit = str(extra.get("unit", ""))
    slot = _slot_of(field.annotation, field.metadata)
    default = field.default
    if field.default_factory is not None:
        default = field.get_default(call_default_factory=True, validated_data={})
    return replace(
        slot,
        unit=unit_around if unit in _INHERITED_UNITS else unit,
        meaning=field.description or "",
        source=str(extra.get("source", "")),
        default=default.value if isinstance(default, Sourced) else default,
    )


def slot_at(root: type[Table], path: KeyPath) -> Slot | None:
    """Return what the models allow at a key path; None where they know no such place."""
    slot: Slot | None = Slot(kind="table", model=root)
    for part in path:
        slot = None if slot is None else _slot_inside(slot, part)
    return slot


def plain_path(root: type[Table], path: KeyPath) -> KeyPath:
    """Return a key path without the ``.value`` of values that carry their source."""
    above = slot_at(root, path[:-1]) if path else None
    is_value = above is not None and above.is_sourced and path[-1] == "value"
    return path[:-1] if is_value else path


def _slot_inside(slot: Slot, part: str | int) -> Slot | None:
    if slot.is_sourced:
        if part == "value" or (slot.has_range and part in ("low", "high")):
            return replace(slot, is_sourced=False, has_range=False)
        return Slot(kind="text", default="") if part == "source" else None
    if isinstance(part, int):
        if slot.kind == "tables":
            return replace(slot, kind="table")
        if slot.kind == "numbers":
            return Slot(kind="number")
        if slot.kind == "places":
            return Slot(kind="place")
        return Slot(kind="text") if slot.kind in ("texts", "place") else None
    if slot.kind == "table" and slot.model is not None:
        return slots_of(slot.model, slot.unit).get(part)
    if slot.kind == "mapping":
        return replace(_slot_of(slot.item, ()), unit=unit_of_quantity(part))
    return None


def unit_of_quantity(name: str) -> str:
    """Return the unit of a climate variable or a climate limit; empty where the name is neither."""
    unit, _ = CLIMATE_VARIABLES.get(CLIMATE_LIMITS.get(name, name), ("", ""))
    return unit or ("degc" if name.endswith("_degc") else "degree-days" if name == HEAT_SUM else "")


def _slot_of(annotation: Any, metadata: Iterable[Any]) -> Slot:
    annotation, metadata = _without_optional(annotation, list(metadata))
    if isinstance(annotation, type) and issubclass(annotation, Sourced):
        value = annotation.model_fields["value"]
        inner = _slot_of(value.annotation, value.metadata)
        return replace(inner, is_sourced=True, has_range=issubclass(annotation, Estimate))
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return Slot(kind="table", model=annotation)
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is Literal:
        return Slot(kind="choice", choices=arguments)
    if origin is list:
        return Slot(kind="tables", model=arguments[0])
    if origin is tuple:
        if typing.get_origin(arguments[0]) is tuple:
            return Slot(kind="places")
        return Slot(kind="numbers" if arguments[0] is float else "texts")
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return Slot(kind="mapping", item=arguments[1])
    limits = {name: _limit(metadata, name) for name in ("ge", "le", "gt", "lt", "pattern")}
    return Slot(
        kind=_PLAIN_KINDS[annotation],
        least=limits["ge"],
        most=limits["le"],
        above=limits["gt"],
        below=limits["lt"],
        pattern=limits["pattern"] or "",
    )


def _without_optional(annotation: Any, metadata: list[Any]) -> tuple[Any, list[Any]]:
    origin = typing.get_origin(annotation)
    if origin is Annotated:
        inner, *more = typing.get_args(annotation)
        return _without_optional(inner, metadata + more)
    if origin in (typing.Union, types.UnionType):
        inner = next(item for item in typing.get_args(annotation) if item is not type(None))
        return _without_optional(inner, metadata)
    return annotation, metadata


def _limit(metadata: Iterable[Any], name: str) -> Any:
    for item in metadata:
        inner = item.metadata if isinstance(item, FieldInfo) else (item,)
        for limit in inner:
            value = getattr(limit, name, None)
            if value is not None:
                return value
    return None
