"""Days that are missing: filled where the season says so, and said where they stay open."""

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.temperatures import fill_gaps
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.listed import counted, listed

MOST_FILLED_DAYS = 31
_TEMPERATURES = ["tmin_degc", "tmax_degc"]


def mind_gaps(days: pd.DataFrame, rows: TableRows) -> pd.DataFrame:
    """Return the days with short gaps filled, one row for each date between a station's first and last.

    Parameters
    ----------
    days
        ``station``, ``date`` and values, sorted, each day of a station once.
    rows
        The table: its ``fill_gaps_days``, and where findings go.

    Notes
    -----
    A day with only one of its temperatures counts as missing, so that a line drawn for the other can never
    cross it.
    """
    longest, parts, filled, gaps = rows.table.fill_gaps_days, [], 0, []
    needed = 0
    for station, own in days.groupby("station", sort=False):
        every_day = pd.date_range(own["date"].min(), own["date"].max(), name="date")
        whole = own.set_index("date").reindex(every_day)
        missing = whole[_TEMPERATURES].isna().any(axis=1).to_numpy()
        whole.loc[missing, _TEMPERATURES] = np.nan
        if longest:
            whole[_TEMPERATURES] = fill_gaps(whole[_TEMPERATURES].to_numpy(), longest)
        still = whole[_TEMPERATURES].isna().any(axis=1).to_numpy()
        filled += int((missing & ~still).sum())
        if still.any():
            gaps.append(f"{still.sum():,} at {station} (first {whole.index[still][0]:%Y-%m-%d})")
            needed = max(needed, _longest_inside(still))
        parts.append(whole.assign(station=station).reset_index())
    if filled:
        what = f"{counted(filled, 'missing day')} filled by a straight line."
        rows.say("weather-filled", "note", what, f"fill_gaps_days = {longest} says so; 0 leaves them open.")
    if gaps:
        what = f"days without temperatures: {listed(gaps, 3)}; a year with one gives no date after it."
        fix = "Find the days."
        if needed:
            longest_gap = f"the longest gap has {counted(needed, 'day')}"
            fix = f"Find the days; {longest_gap}, more than the {MOST_FILLED_DAYS} that may be filled."
        if 0 < needed <= MOST_FILLED_DAYS:
            fix = f"Find the days, or have a straight line drawn; {longest_gap}: fill_gaps_days = {needed}"
        rows.say("weather-gaps", "caution", what, fix)
    return pd.concat(parts, ignore_index=True)[list(days.columns)]


def _longest_inside(missing: NDArray[np.bool_]) -> int:
    """Return the length of the longest gap between two known days; 0 where none is [days]."""
    known = np.flatnonzero(~missing)
    return int(np.diff(known).max(initial=1)) - 1
