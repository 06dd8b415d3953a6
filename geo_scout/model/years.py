"""How days become years."""

DAYS_PER_YEAR = 365.25
"""Days of a year of the calendar, leap years counted in [days]."""
