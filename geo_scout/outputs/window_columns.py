"""Columns of a window's dates, as the tables, the calendar and the map hold them."""

WINDOW_COLUMNS = (
    "window_scout",
    "window_opens",
    "window_peaks",
    "window_closes",
    "window_opens_early",
    "window_opens_late",
    "window_cool_shift_days",
    "window_warm_shift_days",
)
