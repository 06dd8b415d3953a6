"""Positions that are less sure than they look: a change of datum and a coarse grid widen what is stated."""

import numpy as np

from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.model.season import GEORECORD_FLOOR_M

ERROR_COLUMN = "written_error_m"
"""How far off each position may be because of the way it is written; only while the layer is read."""

UNCERTAINTY = "coordinate_uncertainty_m"
COARSE = Why(
    "position-coarse",
    "",
    "Write more digits if you have them: eight name a square of 10 m.",
    is_bad=False,
)
_COARSE_M = 50.0


def say_coarse(draft: LayerDraft) -> None:
    """Caution for each position that names a square of 100 m or more."""
    if ERROR_COLUMN not in draft.frame:
        return
    error_m = draft.frame[ERROR_COLUMN].to_numpy()
    rows = error_m > _COARSE_M
    what = [f"its position names a square; the middle was used, up to {m:,.0f} m off." for m in error_m[rows]]
    draft.remark(rows, COARSE, what)


def widen_uncertainty(draft: LayerDraft) -> None:
    """Add the errors of the datum and of the written position to what releases and visits state.

    Independent errors add as the root of the sum of their squares. A position that states none has the
    floor of 30 m, so that a stated 5 m and an unstated 30 m are widened alike. The rows are in the frame
    the rules of the layer have left.
    """
    written_m = np.zeros(len(draft.frame))
    if ERROR_COLUMN in draft.frame:
        written_m = np.nan_to_num(draft.frame[ERROR_COLUMN].to_numpy(dtype=np.float64))
        draft.frame = draft.frame.drop(columns=ERROR_COLUMN)
    more_m = np.hypot(written_m, draft.accuracy_m)
    widened = more_m > 1.0
    if UNCERTAINTY not in draft.frame or not widened.any():
        return
    stated_m = draft.frame[UNCERTAINTY].to_numpy(dtype=np.float64)
    base_m = np.where(np.isnan(stated_m), GEORECORD_FLOOR_M, stated_m)
    draft.frame[UNCERTAINTY] = np.where(widened, np.hypot(base_m, more_m), stated_m)
    causes = [
        *([f"{draft.accuracy_m:g} m of the change of datum"] if draft.accuracy_m else []),
        *(["the squares of grid references"] if (written_m > 0.0).any() else []),
    ]
    number = draft.told(widened, "row")
    what = (
        f"{UNCERTAINTY} of {number} was widened by {' and '.join(causes)}, from {GEORECORD_FLOOR_M:g} m "
        "where it was blank (root of the sum of squares)."
    )
    draft.say("uncertainty-widened", "note", what, "Nothing; it decides how near a patch a record must lie.")
