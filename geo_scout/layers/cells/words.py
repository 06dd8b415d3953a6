"""Columns that hold one of a few words."""

from collections.abc import Mapping

import numpy as np

from geo_scout.layers.cells.text_values import as_yes_no, each_once
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.wording import folded

PURPOSES = ("new", "supplement", "nursery")
_ABSENT = ("none found", "nothing found", "none", "absent", "not present", "not detected")


def fold_words(
    draft: LayerDraft, column: str, meanings: Mapping[str, str], otherwise: str, code: str
) -> None:
    """Replace each word by its meaning; an unknown word is taken as ``otherwise``, with one caution each."""
    written = draft.texts(column)
    draft.frame[column] = each_once(written, lambda text: meanings.get(folded(text), otherwise))
    choices = ", ".join(dict.fromkeys(meaning for meaning in meanings.values()))
    for word in sorted(text for text in set(written.tolist()) if folded(text) not in meanings):
        rows = written == word
        what = f"{column} '{word}' is unknown and was taken as {otherwise} for {draft.told(rows, 'row')}."
        draft.say(code, "caution", what, f"It can be {choices}.")


def fold_purpose(draft: LayerDraft) -> None:
    """Fold ``purpose`` to new, supplement or nursery; blank is new."""
    fold_words(draft, "purpose", {"": "new", **{p: p for p in PURPOSES}}, "new", "purpose-unknown")


def result_meanings(draft: LayerDraft, present: str) -> dict[str, str]:
    """Return word -> meaning for survey results, the layer's yes and no words among them."""
    return {
        **{folded(word): "none found" for word in (*_ABSENT, *draft.table.no)},
        **{folded(word): present for word in ("", "present", "surveyed", *draft.table.yes)},
    }


def fold_permission(draft: LayerDraft) -> None:
    """Fold ``permission`` to yes, no or unknown; blank and unknown words are unknown."""
    written = draft.texts("permission")
    answers = as_yes_no(written, draft.table.yes, draft.table.no)
    draft.frame["permission"] = np.where((answers == "yes") | (answers == "no"), answers, "unknown")
    unknown_itself = {"unknown", "unk", "?", "not asked", "ask"}
    for word in sorted(text for text in set(written[answers == "?"]) if folded(text) not in unknown_itself):
        rows = written == word
        number = draft.told(rows, "row")
        what = f"permission '{word}' is neither yes nor no; it was taken as unknown for {number}."
        draft.say(
            "permission-unknown",
            "caution",
            what,
            f'Add it to the layer\'s words: yes = ["{word}"] or no = ["{word}"]',
        )
