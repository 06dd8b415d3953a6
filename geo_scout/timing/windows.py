"""The window of one agent at every place, of whichever kind its profile allows."""

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.heat_years import dates_of
from geo_scout.formulas.windows import window_by_calendar
from geo_scout.model.site_windows import Dates, FloatArray, SiteWindows, Temperatures, Texts
from geo_scout.model.timing import CalendarWindow, WindowTable
from geo_scout.timing.heat_windows import HeatWindows, heat_windows

_HALF_YEAR_DAYS = 182


def season_reference(as_of: dt.date, season_start: dt.date | None) -> dt.date:
    """Return a day that lies within the season that is planned: its start, or half a year after ``as_of``."""
    return season_start or as_of + dt.timedelta(days=_HALF_YEAR_DAYS)


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
        A day within the season.
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
    if table.calendar is not None:
        dates, known = calendar_dates(table.calendar, temperatures.elevation_m, reference, scout_days_before)
        kind[known] = "calendar"
        basis[known] = _calendar_basis(table.calendar)
        note[~known] = "the calendar window is for another elevation, and that of this place is not known"
    if table.heat is not None:
        heat = heat_windows(table.heat, temperatures, reference, scout_days_before)
        known = np.asarray(heat.known.any(axis=0), dtype=np.bool_)
        dates[:, known] = heat.dates[:, known]
        early, late = heat.early, heat.late
        shifts[:, known] = np.stack([heat.cool_shift_days, heat.warm_shift_days])[:, known]
        kind[known], basis[known], note[known] = "degree-days", heat.basis[known], heat.note[known]
        note[~known] = _without_heat(heat, note)[~known]
    if table.heat is None and table.calendar is None:
        note[:] = "" if any(words) else "the profile has no window"
    return SiteWindows(kind, dates, early, late, shifts[0], shifts[1], basis, note, words)


def calendar_dates(
    window: CalendarWindow, elevation_m: FloatArray, reference: dt.date, scout_days_before: int
) -> tuple[Dates, NDArray[np.bool_]]:
    """Return (4, n) dates by the calendar near a reference day, and where they are known."""
    stated = [None if one is None else one.on(reference.year) for one in window.days()]
    first = next(one for one in stated if one is not None)
    start = dt.date(reference.year, 1, 1)
    turn = round((reference - first).days / 365.25)
    days: list[float | None] = []
    for one in stated:
        # A window that crosses New Year goes on in the next year.
        later = 0 if one is None or one >= first else 1
        days.append(None if one is None else float((_moved(one, turn + later) - start).days))
    if days[0] is None and days[1] is not None:
        days[0] = days[1] - scout_days_before
    if window.at_elevation_m is None or window.days_per_100m is None:
        shifted = window_by_calendar(days, np.zeros_like(elevation_m), 0.0, 0.0)
    else:
        shifted = window_by_calendar(days, elevation_m, window.at_elevation_m, window.days_per_100m)
    return dates_of(shifted.day, start), np.asarray(shifted.known.any(axis=0), dtype=np.bool_)


def _moved(day: dt.date, years: int) -> dt.date:
    """Return the same day of another year; only 29 February has none, and the profile's checks refuse it."""
    return dt.date(day.year + years, day.month, day.day)


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


def _without_heat(heat: HeatWindows, note: Texts) -> Texts:
    missing = "no temperatures for the heat sums here"
    said = np.where(heat.basis == "", missing, "days are missing from the weather")
    return np.array(
        [f"{new}; {old}" if old else new for new, old in zip(said, note, strict=True)], dtype=object
    )
