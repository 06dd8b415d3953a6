"""Numbers of records that nobody can have counted or measured, and positions that name no patch."""

from collections.abc import Mapping

import numpy as np

from geo_scout.layers.drafts import LayerDraft, Why

# Our choice, wider than any record; half the way round the Earth is the most a position can be off.
_MOST: Mapping[str, float] = {
    "number": 1e9,
    "count": 1e9,
    "effort_hours": 10_000.0,
    "host_cover_pct": 100.0,
    "counted_area_m2": 1e9,
    "coordinate_uncertainty_m": 20_037_509.0,
}
_VAGUE_M = 1_000.0
VAGUE = Why(
    "position-vague",
    "",
    "Look up the place more closely, or take the row out if it could be any of several patches.",
    is_bad=False,
)


def drop_impossible_numbers(draft: LayerDraft) -> None:
    """Take numbers below 0, or beyond any record, as missing, and say so."""
    for column, most in _MOST.items():
        if column not in draft.frame:
            continue
        numbers = draft.frame[column].to_numpy(dtype=np.float64)
        impossible = (numbers < 0.0) | (numbers > most)
        if not impossible.any():
            continue
        draft.frame[column] = np.where(impossible, np.nan, numbers)
        shown = ", ".join(f"{number:g}" for number in dict.fromkeys(numbers[impossible][:3].tolist()))
        what = (
            f"{column} can be 0 to {most:,.0f}; it is {shown} in {draft.told(impossible, 'row')} and was "
            "taken as missing."
        )
        draft.say("number-impossible", "caution", what, "Correct it, or leave it blank.")


def say_vague_positions(draft: LayerDraft) -> None:
    """Caution for each record whose position may be off by more than a kilometre."""
    uncertainty_m = draft.frame["coordinate_uncertainty_m"].to_numpy(dtype=np.float64)
    vague = uncertainty_m > _VAGUE_M
    what = [
        f"its position may be off by {m / 1000.0:,.1f} km (coordinate_uncertainty_m); it counts for the "
        "nearest patch within that distance."
        for m in uncertainty_m[vague]
    ]
    draft.remark(vague, VAGUE, what)
