"""Rules of the treatments layer: kinds the season knows, ends after starts. They may lie in the future."""

import numpy as np

from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed

BACKWARDS = Why("dates-backwards", "end before start", "Correct the dates.")


def check_treatments(draft: LayerDraft) -> None:
    """Spell kinds as the season does, fill a blank end with the start, set aside backward dates."""
    kinds = {folded(kind): kind for kind in draft.season.rules.treatment_kinds}
    written = draft.texts("kind")
    draft.frame["kind"] = each_once(written, lambda text: kinds.get(folded(text), text))
    for kind in sorted({text for text in written if folded(text) not in kinds}):
        rows = written == kind
        number = draft.told(rows, "treatment")
        what = (
            f"kind '{kind}' is not in rules.treatment_kinds ({listed(list(kinds.values()))}), so nothing is "
            f"left out for {number}."
        )
        draft.say(
            "kind-unknown",
            "caution",
            what,
            f"Add it to treatment_kinds, or correct it.{did_you_mean(kind, kinds.values())}",
        )
    start, end = draft.frame["start"].to_numpy(), draft.frame["end"].to_numpy()
    end = np.where(np.isnat(end), start, end)
    draft.frame["end"] = end
    backwards = end < start
    days = zip(start[backwards].astype("datetime64[D]"), end[backwards].astype("datetime64[D]"), strict=True)
    draft.set_aside(
        backwards, BACKWARDS, [f"it ends on {last}, before it starts on {first}." for first, last in days]
    )
