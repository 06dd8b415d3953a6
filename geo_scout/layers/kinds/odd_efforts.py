"""Efforts of visits that are hardly the hours of one visit, or none."""

import numpy as np

from geo_scout.layers.drafts import LayerDraft

MOST_HOURS = 24.0
"""More person-hours than this in one visit are worth a second look; our choice [hours]."""


def say_odd_efforts(draft: LayerDraft) -> None:
    """Caution where one visit took more than a day of hours, and where one of no hours found nothing."""
    hours = draft.frame["effort_hours"].to_numpy(dtype=np.float64)
    if (long := hours > MOST_HOURS).any():
        shown = ", ".join(f"{one:g}" for one in dict.fromkeys(hours[long][:3].tolist()))
        visits = draft.told(long, "visit")
        what = (
            f"effort_hours is {shown} in {visits}, more than {MOST_HOURS:g} person-hours in "
            "one visit: minutes typed as hours?"
        )
        fix = "Correct it if so; hours of several people or days, taken together, may be right."
        draft.say("effort-long", "caution", what, fix)
    if (none := (hours == 0.0) & ~draft.frame["found"].to_numpy(dtype=bool)).any():
        they = "it says" if none.sum() == 1 else "they say"
        what = (
            f"effort_hours is 0 in {draft.told(none, 'visit')} that found nothing; nobody looked, so {they} "
            "nothing of the agent."
        )
        fix = "Write the hours, or leave the cell blank where nobody knows them."
        draft.say("effort-none", "caution", what, fix)
