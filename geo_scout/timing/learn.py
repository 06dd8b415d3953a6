"""Windows learned from own dated catches: the heat at each, their range, and how well it predicts."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import heat_years
from geo_scout.formulas.degree_days.sums import accumulate, day_reached
from geo_scout.model.heat_model import HeatModel
from geo_scout.model.learned import FEWEST_CATCHES, Learned
from geo_scout.model.site_windows import FloatArray
from geo_scout.timing.stations import StationRecord


def learn(model: HeatModel, record: StationRecord, catches: pd.DataFrame) -> Learned:
    """Return the heat at each catch, its range, and the error of predicting each year from the others.

    Parameters
    ----------
    model
        Base, upper threshold, method, cutoff and start.
    record
        Daily weather of one station.
    catches
        ``date`` and ``count``; a count of 0 is a visit that caught none.

    Notes
    -----
    A year's middle is the day by which half of its catch is in. It is predicted by the mean heat at the
    middles of the other years; the error is the day on which that heat is reached less the middle itself.
    """
    daily = daily_degree_days(record.tmin_degc[:, None], record.tmax_degc[:, None], model)
    table = _with_heat(model, record, daily, catches.sort_values("date", kind="stable"))
    found = table[(table["count"] > 0) & np.isfinite(table["degree_days"])]
    heat = found["degree_days"].to_numpy(dtype=np.float64)
    if len(found) < FEWEST_CATCHES:
        return Learned(table, False, np.nan, np.nan, np.nan, np.array([]), ())
    years = tuple(sorted(int(year) for year in found["heat_year"].unique()))
    middles = {year: _middle(found[found["heat_year"] == year]) for year in years}
    errors = np.array([_error(model, record, daily, middles, year) for year in years])
    return Learned(table, True, float(heat.min()), float(np.median(heat)), float(heat.max()), errors, years)


def _with_heat(
    model: HeatModel, record: StationRecord, daily: FloatArray, catches: pd.DataFrame
) -> pd.DataFrame:
    heat = np.full(len(catches), np.nan)
    year_of = np.zeros(len(catches), dtype=np.int64)
    row = _rows(record, catches["date"])
    for year in heat_years(record.first_day, len(daily), model.start):
        total = model.own_degree_days(accumulate(daily[year.rows])[:, 0])
        here = (row >= year.rows.start) & (row < year.rows.stop)
        heat[here] = total[row[here] - year.rows.start]
        year_of[here] = year.start.year
    return catches.assign(heat_year=year_of, degree_days=heat).reset_index(drop=True)


def _error(
    model: HeatModel,
    record: StationRecord,
    daily: FloatArray,
    middles: Mapping[int, tuple[pd.Timestamp, float]],
    year: int,
) -> float:
    """Return predicted less seen day of one year's middle; nan where there is no other year."""
    others = [heat for other, (_, heat) in middles.items() if other != year]
    if not others:
        return float("nan")
    rows = next(
        one.rows for one in heat_years(record.first_day, len(daily), model.start) if one.start.year == year
    )
    predicted = day_reached(daily[rows], [float(model.degc_days(np.mean(others)))]).day[0, 0]
    seen = _rows(record, [middles[year][0]])[0] - rows.start
    return float(np.floor(predicted) - seen)


def _middle(catches: pd.DataFrame) -> tuple[pd.Timestamp, float]:
    """Return the day by which half of a year's catch is in, and the heat then."""
    total = catches["count"].to_numpy(dtype=np.float64).cumsum()
    row = catches.iloc[int(np.searchsorted(total, total[-1] / 2))]
    return row["date"], float(row["degree_days"])


def _rows(record: StationRecord, dates: "pd.Series[pd.Timestamp] | Sequence[object]") -> NDArray[np.int64]:
    days = np.asarray(dates, dtype="datetime64[D]")
    return np.asarray((days - np.datetime64(record.first_day, "D")).astype(np.int64))
