"""What a reader must know besides the dates: days too short for the agent, windows outside the season."""

import datetime as dt
from dataclasses import replace

import numpy as np

from geo_scout.model.site_windows import Dates, FloatArray, SiteWindows, Texts
from geo_scout.model.timing import Timing
from geo_scout.model.window import MOMENTS
from geo_scout.timing.daylength_cautions import daylength_cautions
from geo_scout.timing.texts import joined


def with_cautions(
    windows: SiteWindows,
    timing: Timing,
    latitude_deg: FloatArray,
    reference: dt.date,
    season: tuple[dt.date | None, dt.date | None] = (None, None),
) -> SiteWindows:
    """Return the windows with their cautions added to the notes.

    Parameters
    ----------
    windows
        The windows at n places.
    timing
        The profile's: its critical daylength; without one nothing is said of daylength.
    latitude_deg
        (n,) nan where nobody knows [deg].
    reference
        A day of the year whose longest day counts.
    season
        First and last day of field work, where the season states them.
    """
    notes = [windows.note, season_cautions(windows.dates, *season)]
    critical = timing.critical_daylength_hours
    if critical is not None:
        notes.append(daylength_cautions(critical.value, latitude_deg, windows.dates, reference))
    return replace(windows, note=joined(*notes))


def season_cautions(dates: Dates, start: dt.date | None, end: dt.date | None) -> Texts:
    """Return what must be said where a window lies wholly before or after the field work; else empty.

    Parameters
    ----------
    dates
        (4, n) dates of ``window.MOMENTS``.
    start, end
        First and last day of field work; None where nobody says.
    """
    opens, closes = dates[MOMENTS.index("opens")], dates[MOMENTS.index("closes")]
    said = np.full(dates.shape[1], "", dtype=object)
    if end is not None:
        said[opens > np.datetime64(end)] = f"opens after the season ends ({end})"
    if start is not None:
        said[closes < np.datetime64(start)] = f"closes before the season starts ({start})"
    return said
