"""Days that programs write where nobody entered one: the first day of their calendars."""

import numpy as np

from geo_scout.layers.drafts import LayerDraft, Why

# Days that calendars and file systems begin with.
_BEGINNINGS = frozenset({"0001-01-01", "1601-01-01", "1899-12-30", "1899-12-31", "1900-01-01"})
# Our choice. Spreadsheets begin on 1899-12-30 or 1900-01-01, file systems in 1601, calendars in the year 1;
# nobody released an agent, surveyed its host by satellite position or sprayed it before.
FIRST_DAY = np.datetime64("1900-01-02")
ANCIENT = Why(
    "date-ancient", "", "Write the true day, or leave the cell blank where nobody knows it.", is_bad=False
)


def drop_ancient_days(draft: LayerDraft, column: str) -> None:
    """Take days before 1900-01-02 as missing, each with a caution."""
    days = draft.frame[column].to_numpy(dtype="datetime64[s]")
    ancient = days < FIRST_DAY
    if not ancient.any():
        return
    draft.frame[column] = np.where(ancient, np.datetime64("NaT", "s"), days)
    what = [
        f"{column} {day} {_of_what(day)}; it is taken as missing."
        for day in days[ancient].astype("datetime64[D]")
    ]
    draft.remark(ancient, ANCIENT, what)


def _of_what(day: np.datetime64) -> str:
    if str(day) in _BEGINNINGS:
        return "is what programs write for a blank"
    return f"is before {FIRST_DAY}, earlier than any such record can be"
