"""Columns that hold one of a few words."""

import json
from collections.abc import Mapping

import numpy as np

from geo_scout.layers.cells.text_values import as_yes_no, each_once
from geo_scout.layers.drafts import LayerDraft
from geo_scout.model.folded import folded

PURPOSES = ("new", "supplement", "nursery")
_ABSENT = ("none found", "nothing found", "none", "absent", "not present", "not detected")


def fold_words(
    draft: LayerDraft, column: str, meanings: Mapping[str, str], otherwise: str, code: str
) -> None:
    """Replace each word by its meaning; an unknown word is taken as ``otherwise``, with one caution each."""
    written = draft.texts(column)
    draft.frame[column] = each_once(written, lambda text: meanings.get(folded(text), otherwise))
    choices = list(dict.fromkeys(meaning for meaning in meanings.values()))
    for word in sorted(text for text in set(written.tolist()) if folded(text) not in meanings):
        rows = written == word
        what = f"{column} '{word}' is unknown and was taken as {otherwise} for {draft.told(rows, 'row')}."
        draft.say(code, "caution", what, f"It can be {', '.join(choices[:-1])} or {choices[-1]}.")


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
        draft.say("permission-unknown", "caution", what, words_fix(draft, word, "granted", "refused"))


def words_fix(draft: LayerDraft, word: str, yes: str, no: str) -> str:
    """Return the fix for a word that means neither yes nor no.

    A list in the season takes the place of the whole default, so it is shown with all words in it.

    Parameters
    ----------
    draft
        The layer, with its words.
    word
        The new word.
    yes, no
        What yes and no mean here.
    """
    lists = [
        ", ".join(json.dumps(one, ensure_ascii=False) for one in (*words, word))
        for words in (draft.table.yes, draft.table.no)
    ]
    return f"If it means {yes}, write in this layer: yes = [{lists[0]}]; if {no}: no = [{lists[1]}]"
