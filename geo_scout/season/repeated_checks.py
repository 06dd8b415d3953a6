"""A flat table of visits: which of its columns belong to each visit of a row, and which to all of them."""

from collections.abc import Iterator

from geo_scout.model.layer_table import VisitColumns
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, show_key, show_value

_EACH = ("date", "result")


def check_repeated(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistakes of ``repeated`` in the visits layer that its model cannot see."""
    visits = list(document.rows(*path, "repeated"))
    if document.get(*path, "repeated") == []:
        what = "this list is empty; it says where each of several visits of a row stands."
        fix = "write [[layers.visits.repeated]] with date and result for each, or remove the line."
        yield document.problem("repeated-visits", (*path, "repeated"), what, fix)
    if not visits:
        return
    for key in document.table(*path, "columns"):
        place = (*path, "columns", key)
        if key == "visit_id" or key in VisitColumns.model_fields:
            yield from _check_shared(document, visits, place, key)
    seen: dict[str, KeyPath] = {}
    for visit in visits:
        yield from _check_blank(document, visit)
        written = document.text(*visit, "date")
        if not written:
            continue
        first = seen.setdefault(written.strip().casefold(), visit)
        if first != visit:
            what = f"{show_value(written)} is the date of another visit of the row already."
            yield document.problem(
                "repeated-visits", (*visit, "date"), what, "name the column of this visit's own day."
            )


def _check_shared(document: Document, visits: list[KeyPath], place: KeyPath, key: str) -> Iterator[Problem]:
    """Yield a column that is one of all visits of a row and one of each at once."""
    if key in _EACH:
        what = (
            f"{key} stands in each [[layers.visits.repeated]], so no column is that of all visits of a row."
        )
        yield document.problem(
            "repeated-visits", place, what, "remove it here, or take the repeated tables out."
        )
        return
    if any(document.get(*visit, key) is not None for visit in visits):
        what = f"{key} is given for all visits of a row and for some of them at once."
        yield document.problem("repeated-visits", place, what, "remove it here, or there.")


def _check_blank(document: Document, visit: KeyPath) -> Iterator[Problem]:
    for key in _EACH:
        if document.text(*visit, key) == "":
            fix = f"write the name of your column for {show_key(key)}."
            yield document.problem("bad-choice", (*visit, key), "the name of the column is empty.", fix)
