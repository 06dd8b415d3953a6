"""Findings on many features: the first ones each with its place, the rest counted."""

from collections.abc import Sequence

import numpy as np

from geo_scout.layers.drafts import LayerDraft, Rows, Why

FIRST = 100


def remark_first(draft: LayerDraft, rows: Rows, why: Why, what: Sequence[str] | str) -> None:
    """Add one finding for each of the first hundred chosen rows, and one that counts the others.

    Parameters
    ----------
    draft
        The layer.
    rows
        (n,) which rows are chosen.
    why
        Code, grade and fix.
    what
        One sentence for all, or one for each of at least the first hundred chosen rows.
    """
    chosen = np.flatnonzero(rows)
    first = np.zeros(len(rows), dtype=bool)
    first[chosen[:FIRST]] = True
    draft.remark(first, why, what if isinstance(what, str) else list(what)[:FIRST])
    others = np.asarray(rows & ~first, dtype=bool)
    if others.any():
        draft.say(why.code, why.grade, f"the same of {draft.told(others, 'more feature')}.", why.fix)
