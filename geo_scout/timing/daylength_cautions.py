"""Cautions where days are shorter than those at which an agent goes into rest."""

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.daylength import daylength_hours
from geo_scout.model.site_windows import Dates, FloatArray, Texts

_ASK = "photoperiod: populations evolve; ask those who know yours"


def daylength_cautions(
    critical_hours: float, latitude_deg: FloatArray, dates: Dates, reference: dt.date
) -> Texts:
    """Return what must be said of daylength at n places, empty where there is nothing.

    Parameters
    ----------
    critical_hours
        Daylength below which the agent goes into rest [hours].
    latitude_deg
        (n,) nan where nobody knows [deg].
    dates
        (4, n) dates of ``window.MOMENTS``; the last known one of each place is looked at.
    reference
        A day of the year whose longest day counts where a place has no dates.

    Notes
    -----
    The day is that from sunrise to sunset (`SUNRISE_ALTITUDE_DEG`). A critical daylength that was published
    with twilight counts more hours: these cautions then come where there is no need.

    Examples
    --------
    >>> never = np.full((4, 1), np.datetime64("NaT", "D"))
    >>> daylength_cautions(14.65, np.array([36.0]), never, dt.date(2027, 6, 1))[0][:59]
    'the longest day at 36.0 degrees has 14.61 hours, less than '
    """
    known = np.isfinite(latitude_deg)
    latitude = np.where(known, latitude_deg, 0.0)
    solstices = [f"{reference.year}-{month}-{day}" for month in ("06", "12") for day in (20, 21, 22)]
    longest = daylength_hours(latitude, np.array(solstices, dtype="datetime64[D]")[:, None]).max(axis=0)
    last = _last(dates)
    at_last = daylength_hours(latitude, last)
    said = np.full(len(latitude), "", dtype=object)
    for place in np.flatnonzero(known & ((longest < critical_hours) | (at_last < critical_hours))):
        day, hours = "the longest day", longest[place]
        if hours >= critical_hours:
            day, hours = f"on {last[place].item():%d %B} the day".replace(" 0", " "), at_last[place]
        what = f"{day} at {latitude[place]:.1f} degrees has {hours:.2f} hours"
        said[place] = f"{what}, less than the critical {critical_hours:g} ({_ASK})"
    return said


def _last(dates: Dates) -> NDArray[np.datetime64]:
    """Return the last known date of each place, NaT where there is none."""
    in_days = np.where(np.isnat(dates), np.iinfo(np.int64).min, dates.astype(np.int64)).max(axis=0)
    return np.asarray(in_days.astype("datetime64[D]"))
