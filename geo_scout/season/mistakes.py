"""The model's complaints about a file, turned into sentences with a place and a remedy."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from geo_scout.model.problem import Problem
from geo_scout.model.setting import Table
from geo_scout.season.document import Document
from geo_scout.season.fields import Slot, plain_path, slot_at
from geo_scout.season.missing import missing_key
from geo_scout.season.reserved import FileKind
from geo_scout.season.suggest import nearest
from geo_scout.season.unknown import unknown_key
from geo_scout.season.values import (
    bad_choice,
    bad_pattern,
    not_finite,
    out_of_range,
    swapped_coordinates,
    too_few,
    wrong_type,
)
from geo_scout.season.wording import KeyPath, dotted

_RANGE = ("greater_than", "greater_than_equal", "less_than", "less_than_equal")
Model = TypeVar("Model", bound=Table)
_FORMAT: KeyPath = ("format",)


@dataclass(frozen=True)
class _Complaint:
    """One error of the model: where, of what type, and the value found there."""

    kind: str
    path: KeyPath
    value: Any


def validate(model: type[Model], document: Document, kind: FileKind) -> tuple[Model | None, list[Problem]]:
    """Return the file as its model, or every mistake the model finds.

    Keys are taken as the file format names them, never by the model's own Python names.
    """
    try:
        checked = model.model_validate(document.data, by_alias=True, by_name=False)
    except ValidationError as errors:
        complaints = [_complaint(error) for error in errors.errors(include_url=False)]
    else:
        complaints, version = [], document.get(*_FORMAT)
        if type(version) is int:
            return checked, []
        complaints.append(_Complaint("literal_error", _FORMAT, version))
    return None, list(_problems(model, document, kind, complaints))


def _complaint(error: ErrorDetails) -> _Complaint:
    return _Complaint(kind=error["type"], path=error["loc"], value=error["input"])


def _problems(
    model: type[Table], document: Document, kind: FileKind, complaints: list[_Complaint]
) -> Iterator[Problem]:
    missing = {complaint.path for complaint in complaints if complaint.kind == "missing"}
    misspelt = _misspelt(complaints, missing)
    for complaint in complaints:
        if complaint.kind == "extra_forbidden":
            meant = misspelt.get(complaint.path)
            yield unknown_key(model, document, kind, complaint.path, meant)
        elif complaint.kind == "missing":
            if complaint.path not in misspelt.values():
                yield missing_key(model, document, complaint.path)
        else:
            yield _value_problem(model, document, complaint)


def _misspelt(complaints: list[_Complaint], missing: set[KeyPath]) -> dict[KeyPath, KeyPath]:
    """Return unknown keys that are a missing key misspelt, so that one slip is told once."""
    pairs: dict[KeyPath, KeyPath] = {}
    for complaint in complaints:
        if complaint.kind != "extra_forbidden":
            continue
        above = complaint.path[:-1]
        names = [str(path[-1]) for path in missing - set(pairs.values()) if path[:-1] == above]
        meant = nearest(str(complaint.path[-1]), names)
        if meant is not None:
            pairs[complaint.path] = (*above, meant)
    return pairs


def _value_problem(model: type[Table], document: Document, complaint: _Complaint) -> Problem:
    slot = slot_at(model, complaint.path)
    if slot is None:  # the model and its own description disagree, which is a fault of ours
        message = f"no setting at {complaint.path}"
        raise LookupError(message)
    path = plain_path(model, complaint.path)
    code, what, fix = _sentence(slot, path, complaint)
    if code == "out-of-range":
        fix = swapped_coordinates(document, path) or fix
    return document.problem(code, complaint.path, what, fix, key=dotted(path))


def _sentence(slot: Slot, path: KeyPath, complaint: _Complaint) -> tuple[str, str, str]:
    if complaint.kind in _RANGE:
        return out_of_range(slot, complaint.value)
    is_number = slot.kind in ("number", "whole number")
    if is_number and isinstance(complaint.value, float) and not math.isfinite(complaint.value):
        return not_finite(slot, complaint.value)
    if slot.kind == "choice":
        return bad_choice(slot, path, complaint.value)
    if complaint.kind == "string_pattern_mismatch":
        return bad_pattern(slot, path, complaint.value)
    if complaint.kind == "too_short":
        return too_few(slot, path)
    return wrong_type(slot, path, complaint.value)
