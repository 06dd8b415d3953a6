"""A key or table the file cannot do without."""

from geo_scout.model.problem import Problem
from geo_scout.model.setting import Table
from geo_scout.season.document import Document
from geo_scout.season.fields import Slot, plain_path, slot_at
from geo_scout.season.skeleton import blanks_note, pasteable, pasteable_path, pasteable_table
from geo_scout.season.wording import KeyPath, dotted, header, unit_words


def missing_key(model: type[Table], document: Document, path: KeyPath) -> Problem:
    """Return the mistake for a key or table that is not there, with lines to paste."""
    slot = slot_at(model, path)
    if slot is None:  # the model and its own description disagree, which is a fault of ours
        message = f"no setting at {path}"
        raise LookupError(message)
    if slot.kind in ("table", "tables"):
        return _missing_table(document, path, slot)
    plain = plain_path(model, path)
    if plain != path:
        return _missing_value(document, plain, slot)
    is_layer_path = path[0] == "layers" and path[-1] == "path"
    line = pasteable_path(str(path[1])) if is_layer_path else pasteable(str(path[-1]), slot)
    note = blanks_note(line, slot)
    place = f"below {document.title(path[:-1])}" if document.title(path[:-1]).startswith("[") else ""
    if not place:
        place = f"inside {dotted(path[:-1])}" if path[:-1] else "at the top of the file"
    what = f"this key is missing: {slot.meaning}{_in_unit(slot)}."
    return document.problem("missing-key", path, what, f"add {place}{note}: {line}")


def _missing_table(document: Document, path: KeyPath, slot: Slot) -> Problem:
    lines = pasteable_table(path, slot)
    note = ", with your own numbers for N" if "= N" in lines else ""
    what = f"this table is missing: {slot.meaning}."
    fix = f"add these lines{note}:\n" + "\n".join(f"    {line}" for line in lines.splitlines())
    return document.problem("missing-key", path, what, fix, key=header(path, is_list=slot.kind == "tables"))


def _missing_value(document: Document, path: KeyPath, slot: Slot) -> Problem:
    line = f'{path[-1]} = {{value = N, source = "..."}}'
    what = f"the value itself is missing{_in_unit(slot)}."
    return document.problem("missing-key", path, what, f"write{blanks_note(line, slot)}: {line}")


def _in_unit(slot: Slot) -> str:
    unit = unit_words(slot.unit)
    return f", in{unit}" if unit and slot.kind in ("number", "whole number") else ""
