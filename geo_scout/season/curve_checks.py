"""What a value curve must be true of: the keys of its shape, limits in order, levels from 0 to 1."""

import math
from collections.abc import Iterator
from itertools import pairwise

from geo_scout.model.criteria import CriteriaTables, Curve
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at, slots_of
from geo_scout.season.suggest import nearest
from geo_scout.season.wording import KeyPath, listed, show_number, unit_words

_MEANING = {
    "rising": "rising: worth 0 up to 'from', 1 at 'to' and beyond",
    "falling": "falling: worth 1 up to 'from', 0 at 'to' and beyond",
    "plateau": "plateau: worth 0 at 'from', 1 between 'full_from' and 'full_to', 0 again at 'to'",
    "s_shaped": "an S: worth 0 up to 'from', 0.5 halfway, 1 at 'to' and beyond, or falling the same way",
    "steps": "steps: 'levels' below the first of 'limits', between them, and from the last one on",
}
_KEYS = {
    "rising": ("from", "to"),
    "falling": ("from", "to"),
    "plateau": ("from", "full_from", "full_to", "to"),
    "s_shaped": ("from", "to"),
    "steps": ("limits", "levels"),
}
_EXAMPLES = {
    "rising": '{shape = "rising", from = N, to = N}',
    "falling": '{shape = "falling", from = N, to = N}',
    "plateau": '{shape = "plateau", from = N, full_from = N, full_to = N, to = N}',
    "s_shaped": '{shape = "s_shaped", from = N, to = N}',
    "steps": '{shape = "steps", limits = [N, N], levels = [0, 0.5, 1]}',
}
_ONLY = {"full_from": "plateau", "full_to": "plateau", "limits": "steps", "levels": "steps"}
_NAMES = {
    "rising": "rising",
    "falling": "falling",
    "plateau": "a plateau",
    "s_shaped": "s_shaped",
    "steps": "made of steps",
}
_NEEDING = {
    "rising": "a rising curve needs",
    "falling": "a falling curve needs",
    "plateau": "a plateau needs",
    "s_shaped": "an s_shaped curve needs",
    "steps": "steps need",
}


def check_curve(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistakes of one curve.

    Parameters
    ----------
    document
        The season file.
    path
        Key path of the curve.
    """
    shape = document.text(*path, "shape")
    if shape not in _KEYS:
        return  # The model says what is wrong with the shape.
    yield from _check_keys(document, path, shape)
    if shape == "steps":
        yield from _check_steps(document, path)
    else:
        yield from _check_order(document, path, shape)


def _check_keys(document: Document, path: KeyPath, shape: str) -> Iterator[Problem]:
    """Yield each key that this shape does not take, and each it cannot do without."""
    table = document.table(*path)
    own = {"shape", *_KEYS[shape], *(("direction",) if shape == "s_shaped" else ())}
    for key in table:
        if key in slots_of(Curve) and key not in own:
            yield _foreign_key(document, (*path, key), shape)
    unknown = [key for key in table if key not in slots_of(Curve)]
    for key in _KEYS[shape]:
        # A misspelt key is told as such, and only once.
        if key not in table and not any(nearest(other, [key]) for other in unknown):
            what = f"{_NEEDING[shape]} {key}. {_meaning(shape)}."
            yield document.problem(_code(key), path, what, f"add it: {_EXAMPLES[shape]}")


def _foreign_key(document: Document, path: KeyPath, shape: str) -> Problem:
    key = str(path[-1])
    if key in ("from", "to"):
        what = f"{key} is not for steps. {_meaning('steps')}."
        fix = f"remove it, and write limits and levels: {_EXAMPLES['steps']}"
    elif key == "direction":
        what = f"direction is for an S; this curve is {_NAMES[shape]}."
        fix = 'remove it, or write shape = "s_shaped"; rising and falling are shapes of their own.'
    else:
        whose = "steps" if _ONLY[key] == "steps" else "a plateau"
        what = f"{key} is for {whose}; this curve is {_NAMES[shape]}."
        fix = f'remove it, or write shape = "{_ONLY[key]}".'
    return document.problem(_code(key), path, what, fix)


def _meaning(shape: str) -> str:
    return _MEANING[shape][:1].upper() + _MEANING[shape][1:]


def _code(key: str) -> str:
    return "curve-plateau" if key in ("full_from", "full_to") else "curve-keys"


def _check_order(document: Document, path: KeyPath, shape: str) -> Iterator[Problem]:
    """Yield the mistake of a curve whose places run backwards; two equal ones are a step, but of an S."""
    values = [document.number(*path, key) for key in _KEYS[shape]]
    known = [(key, value) for key, value in zip(_KEYS[shape], values, strict=True) if value is not None]
    unit = _unit(path)
    for (left, low), (right, high) in pairwise(known):
        if shape == "s_shaped" and low == high:
            what = f"{left} and {right} are both {show_number(low)}{unit}; an S needs room between them."
            sharp = '{shape = "steps", limits = [N], levels = [0, 1]}'
            fix = f"write two different numbers; a sharp limit is {sharp}"
            yield document.problem("curve-order", (*path, left), what, fix)
        elif low > high:
            places = f"{left} = {show_number(low)}{unit} lies above {right} = {show_number(high)}{unit}"
            what = f"{places}. {_meaning(shape)}."
            yield document.problem("curve-order", (*path, left), what, _order_fix(shape, known))
            return


def _order_fix(shape: str, known: list[tuple[str, float]]) -> str:
    ordered = sorted(value for _, value in known)
    pairs = ", ".join(f"{key} = {show_number(value)}" for (key, _), value in zip(known, ordered, strict=True))
    falling = '; if more is worse, add direction = "falling"' if shape == "s_shaped" else ""
    return f'write them in rising order: {{shape = "{shape}", {pairs}}}{falling}'


def _check_steps(document: Document, path: KeyPath) -> Iterator[Problem]:
    limits, levels = (_numbers(document.get(*path, key)) for key in _KEYS["steps"])
    if limits == []:
        yield document.problem(
            "curve-steps", (*path, "limits"), "steps need at least one limit.", "write limits = [N]"
        )
    for left, right in pairwise(limits or []):
        if right <= left:
            what = f"{show_number(right)}{_unit(path)} does not lie above {show_number(left)}{_unit(path)}."
            ordered = ", ".join(show_number(one) for one in sorted(set(limits or [])))
            fix = f"write each limit once, in rising order: limits = [{ordered}]"
            yield document.problem("curve-steps", (*path, "limits"), what, fix)
            break
    outside = [show_number(level) for level in levels or [] if not 0 <= level <= 1]
    if outside:
        what = (
            f"{listed(outside, last='and')} cannot be a value; it is 0 (no good) to 1 (as good as it gets)."
        )
        yield document.problem("curve-steps", (*path, "levels"), what, "write each level from 0 to 1.")
    if limits and levels is not None and len(levels) != len(limits) + 1:
        what = f"{len(levels)} level{'' if len(levels) == 1 else 's'} for {len(limits)} limit"
        what += f"{'' if len(limits) == 1 else 's'}. {_meaning('steps')}."
        fix = f"write {len(limits) + 1} levels, one more than limits."
        yield document.problem("curve-steps", (*path, "levels"), what, fix)


def _numbers(value: object) -> list[float] | None:
    """Return a list of finite numbers; None for anything else, which the model has its own words for."""
    if not isinstance(value, list):
        return None
    found = [one for one in value if isinstance(one, int | float) and not isinstance(one, bool)]
    return found if len(found) == len(value) and all(map(math.isfinite, found)) else None


def _unit(path: KeyPath) -> str:
    slot = slot_at(CriteriaTables, path[1:])
    return "" if slot is None else unit_words(slot.unit)
