"""What the criteria must also be true of: curves in order, and something that counts."""

from collections.abc import Iterator

from geo_scout.model.criteria import ROLES, CriteriaTables, Criterion
from geo_scout.model.problem import Problem
from geo_scout.season.curve_checks import check_curve
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at
from geo_scout.season.wording import KeyPath


def check_criteria(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the criteria of both rankings."""
    for role in ROLES:
        path: KeyPath = ("criteria", role)
        for name in document.table(*path):
            slot = slot_at(CriteriaTables, (role, name))
            if slot is not None:
                yield from check_curve(document, (*path, name, "curve"))
        yield from _check_weights(document, path)


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
