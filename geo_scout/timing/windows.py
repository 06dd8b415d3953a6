"""The window of one agent at every place, of whichever kind its profile allows."""

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.heat_years import dates_of
from geo_scout.formulas.windows import window_by_calendar
from geo_scout.model.site_windows import Dates, FloatArray, SiteWindows, Temperatures
from geo_scout.model.timing import CalendarWindow, WindowTable
from geo_scout.timing.heat_windows import heat_windows
from geo_scout.timing.season_days import years_of
from geo_scout.timing.texts import joined


def site_windows(
    table: WindowTable, temperatures: Temperatures, reference: dt.date, scout_days_before: int
) -> SiteWindows:
    """Return the windows at every place.

    Parameters
    ----------
    table
        The profile's window for collecting, or for receiving.
    temperatures
        What is known of the places.
    reference
        The day it is, or the first of the season: the window under way then, or the next one, is meant.
    scout_days_before
        Days before the opening at which scouting starts, where the window does not say [days].

    Notes
    -----
    A place has its dates by heat where the profile has a heat model and temperatures are known, else by the
    calendar, else none; what is to be seen is told besides.
    """
    count = len(temperatures)
    words = _words(table)
    kind = np.full(count, "host stage" if any(words) else "unknown", dtype=object)
    dates: Dates = np.full((4, count), np.datetime64("NaT", "D"))
    early, late = dates[0].copy(), dates[0].copy()
    shifts: FloatArray = np.full((2, count), np.nan)
    basis, note = np.full(count, "", dtype=object), np.full(count, "", dtype=object)
    years, heat_from = None, None
    if table.calendar is not None:
        dates, known = calendar_dates(table.calendar, temperatures.elevation_m, reference, scout_days_before)
        kind[known] = "calendar"
        basis[known] = _calendar_basis(table.calendar)
        note[~known] = "the calendar window is for another elevation, and that of this place is not known"
    if table.heat is not None:
        heat = heat_windows(table.heat, temperatures, reference, scout_days_before)
        known = np.asarray(heat.known.any(axis=0), dtype=np.bool_)
        dates[:, known] = heat.dates[:, known]
        early[known], late[known] = heat.early[known], heat.late[known]
        shifts[:, known] = np.stack([heat.cool_shift_days, heat.warm_shift_days])[:, known]
        kind[known], basis[known], note[known] = "degree-days", heat.basis[known], heat.note[known]
        note[~known] = joined(heat.note, note)[~known]
        years, heat_from = heat.years, heat.heat_from
    if table.heat is None and table.calendar is None:
        note[:] = "" if any(words) else "the profile has no window"
    return SiteWindows(kind, dates, early, late, shifts[0], shifts[1], basis, note, words, years, heat_from)


def calendar_dates(
    window: CalendarWindow, elevation_m: FloatArray, reference: dt.date, scout_days_before: int
) -> tuple[Dates, NDArray[np.bool_]]:
    """Return (4, n) dates by the calendar, under way at a day or next, and where they are known."""
    dates = years_of(window.days(), reference)
    start = next(one for one in dates if one is not None)
    days = [None if one is None else float((one - start).days) for one in dates]
    if days[0] is None and days[1] is not None:
        days[0] = days[1] - scout_days_before
    if window.at_elevation_m is None or window.days_per_100m is None:
        shifted = window_by_calendar(days, np.zeros_like(elevation_m), 0.0, 0.0)
    else:
        shifted = window_by_calendar(days, elevation_m, window.at_elevation_m, window.days_per_100m)
    return dates_of(shifted.day, start), np.asarray(shifted.known.any(axis=0), dtype=np.bool_)


def _calendar_basis(window: CalendarWindow) -> str:
    source = f" ({window.source})" if window.source else ""
    if window.at_elevation_m is None or window.days_per_100m is None:
        return f"calendar of the profile{source}"
    return (
        f"calendar of the profile for {window.at_elevation_m:g} m, {window.days_per_100m:g} days later for "
        f"every 100 m up{source}"
    )


def _words(table: WindowTable) -> tuple[str, str, str, str]:
    stage = table.host_stage
    return ("", "", "", "") if stage is None else (stage.scout, stage.opens, stage.peaks, stage.closes)
