"""What the criteria must also be true of: curves in order, and something that counts."""

from collections.abc import Iterator
from itertools import pairwise

from geo_scout.model.criteria import ROLES, CriteriaTables, Criterion
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at
from geo_scout.season.wording import KeyPath, show_number, unit_words

_MEANING = {
    "rising": "rising: worth 0 up to 'from', 1 at 'to' and beyond",
    "falling": "falling: worth 1 up to 'from', 0 at 'to' and beyond",
    "plateau": "plateau: worth 0 at 'from', 1 between 'full_from' and 'full_to', 0 again at 'to'",
}


def check_criteria(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the criteria of both rankings."""
    for role in ROLES:
        path: KeyPath = ("criteria", role)
        for name in document.table(*path):
            slot = slot_at(CriteriaTables, (role, name))
            if slot is not None:
                yield from _check_curve(document, (*path, name, "curve"))
        yield from _check_weights(document, path)


def _check_curve(document: Document, path: KeyPath) -> Iterator[Problem]:
    shape = document.text(*path, "shape")
    full = [key for key in ("full_from", "full_to") if document.get(*path, key) is not None]
    if shape in ("rising", "falling"):
        for key in full:
            what = f"{key} is for a plateau; this curve is {shape}."
            fix = 'remove it, or write shape = "plateau".'
            yield document.problem("curve-plateau", (*path, key), what, fix)
        yield from _check_order(document, path, shape, ("from", "to"))
    elif shape == "plateau":
        for key in ("full_from", "full_to"):
            if key not in full:
                what = f"a plateau needs {key}. {_MEANING['plateau'].capitalize()}."
                fix = 'add it: {shape = "plateau", from = N, full_from = N, full_to = N, to = N}'
                yield document.problem("curve-plateau", path, what, fix)
        yield from _check_order(document, path, shape, ("from", "full_from", "full_to", "to"))


def _check_order(document: Document, path: KeyPath, shape: str, keys: tuple[str, ...]) -> Iterator[Problem]:
    """Yield the mistake of a curve whose places run backwards; two equal ones are a step."""
    values = [document.number(*path, key) for key in keys]
    known = [(key, value) for key, value in zip(keys, values, strict=True) if value is not None]
    slot = slot_at(CriteriaTables, path[1:])
    unit = "" if slot is None else unit_words(slot.unit)
    for (left, low), (right, high) in pairwise(known):
        if low > high:
            places = f"{left} = {show_number(low)}{unit} lies above {right} = {show_number(high)}{unit}"
            what = f"{places}. {_MEANING[shape].capitalize()}."
            yield document.problem("curve-order", (*path, left), what, _order_fix(shape, known))
            return


def _order_fix(shape: str, known: list[tuple[str, float]]) -> str:
    ordered = sorted(value for _, value in known)
    pairs = ", ".join(f"{key} = {show_number(value)}" for (key, _), value in zip(known, ordered, strict=True))
    return f'write them in rising order: {{shape = "{shape}", {pairs}}}'


def _check_weights(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a ranking in which nothing counts."""
    if not isinstance(document.get(*path), dict):
        return
    weights = []
    for name in document.table(*path):
        slot = slot_at(CriteriaTables, (*path[1:], name))
        if slot is None or slot.model is None or not issubclass(slot.model, Criterion):
            return
        stated = document.get(*path, name, "weight")
        weights.append(slot.model.model_fields["weight"].default if stated is None else stated)
    if all(weight == 0 for weight in weights):
        what = "every criterion of this ranking weighs 0." if weights else "this ranking has no criterion."
        fix = "give at least one a weight above 0, or remove the table to use the defaults."
        yield document.problem("weights-zero", path, what, fix, key=document.title(path))
