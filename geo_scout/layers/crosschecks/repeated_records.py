"""The same id twice, and records that look entered twice, where the layer's own rules do not say so."""

from collections.abc import Sequence

import numpy as np

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.kinds.duplicates import alike_groups, rows_told, say_repeated_ids
from geo_scout.model.listed import counted, listed

_IDS_AT_MOST = 6
_ALIKE_AT_MOST = 5
_IDS = ("surveyed_areas", "treatments")
_RECORDS = ("surveyed_areas", "releases", "visits", "requests", "treatments")


def check_repeated(read: LayersRead) -> None:
    """Caution on ids that two features share, and on records alike in place and in every value."""
    for name in _IDS:
        if (draft := read.usable(name)) is not None:
            say_repeated_ids(draft)
    for name in _RECORDS:
        if (draft := read.usable(name)) is not None:
            _say_alike(draft)


def _say_alike(draft: LayerDraft) -> None:
    group = alike_groups(draft)
    is_alike = np.bincount(group)[group] > 1
    if not is_alike.any():
        return
    sets: dict[int, list[tuple[str, int]]] = {}
    rows = draft.frame["row"].to_numpy()[is_alike].tolist()
    for label, row, one in zip(draft.labels(is_alike), rows, group[is_alike].tolist(), strict=True):
        sets.setdefault(one, []).append((label, row))
    named = listed([_told(records) for records in sets.values()], _ALIKE_AT_MOST)
    has_other_ids = any(len({label for label, _ in records}) > 1 for records in sets.values())
    what = (
        f"{counted(len(sets), 'record')} {'is' if len(sets) == 1 else 'are'} in the file more than once, "
        f"alike in place and in every value{' but the id' if has_other_ids else ''}: {named}."
    )
    fix = "Take one of them out if it was entered twice; each counts as a record of its own until then."
    draft.say("record-repeated", "caution", what, fix)


def _told(records: Sequence[tuple[str, int]]) -> str:
    """Return records that are alike: by their ids, and by their rows where one id stands twice."""
    labels = [label for label, _ in records]
    if len(set(labels)) == len(labels):
        return listed(labels, _IDS_AT_MOST, " = ")
    return (
        f"{listed([*dict.fromkeys(labels)], _IDS_AT_MOST, ' = ')} ({rows_told([row for _, row in records])})"
    )
