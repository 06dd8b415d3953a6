"""Windows learned from own dated catches: the heat at each, their range, and how well it predicts."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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


@dataclass(frozen=True)
class _Heat:
    """Daily heat at one station."""

    model: HeatModel
    first_day: dt.date
    daily: FloatArray

    @classmethod
    def of(cls, model: HeatModel, record: StationRecord) -> "_Heat":
        daily = daily_degree_days(record.tmin_degc[:, None], record.tmax_degc[:, None], model)
        return cls(model, record.first_day, daily)

    def rows(self, dates: "pd.Series[pd.Timestamp] | Sequence[object]") -> NDArray[np.int64]:
        days = np.asarray(dates, dtype="datetime64[D]")
        return np.asarray((days - np.datetime64(self.first_day, "D")).astype(np.int64))

    def added_to(self, catches: pd.DataFrame) -> pd.DataFrame:
        """Return catches with their heat year, 0 outside the record, and the sum at the end of the day."""
        heat, year_of = np.full(len(catches), np.nan), np.zeros(len(catches), dtype=np.int64)
        row = self.rows(catches["date"])
        for year in heat_years(self.first_day, len(self.daily), self.model.start):
            total = self.model.own_degree_days(accumulate(self.daily[year.rows])[:, 0])
            here = (row >= year.rows.start) & (row < year.rows.stop)
            heat[here] = total[row[here] - year.rows.start]
            year_of[here] = year.start.year
        return catches.assign(heat_year=year_of, degree_days=heat)

    def error_days(self, year: int, heat: float, middle: pd.Timestamp) -> float:
        """Return the day on which a heat is reached less a day of the same heat year; nan if it is not."""
        years = heat_years(self.first_day, len(self.daily), self.model.start)
        rows = next(one.rows for one in years if one.start.year == year)
        predicted = day_reached(self.daily[rows], [float(self.model.degc_days(heat))]).day[0, 0]
        return float(np.floor(predicted) - (self.rows([middle])[0] - rows.start))


def learn(model: HeatModel, records: Mapping[str, StationRecord], catches: pd.DataFrame) -> Learned:
    """Return the heat at each catch, its range, and the error of predicting each year from the others.

    Parameters
    ----------
    model
        Base, upper threshold, method, cutoff and start.
    records
        Daily weather by station.
    catches
        ``station``, ``date`` and ``count``; a count of 0 is a visit that caught none.

    Notes
    -----
    The middle of a year at a station is the day by which half of its catch is in. It is predicted by the
    mean heat at the middles of all other years; the error is the day on which that heat is reached less the
    middle itself. The middle offered is the mean of all years' middles, so that the error speaks of it.
    """
    heats = {name: _Heat.of(model, record) for name, record in records.items()}
    in_order = catches.sort_values(["station", "date"], kind="stable")
    parts = [heats[str(name)].added_to(own) for name, own in in_order.groupby("station", sort=False)]
    nothing = Learned(pd.concat(parts, ignore_index=True), False, np.nan, np.nan, np.nan, np.array([]), ())
    found = nothing.found
    if len(found) < FEWEST_CATCHES:
        return nothing
    keys = found[["station", "heat_year"]].drop_duplicates()
    middles: dict[tuple[str, int], tuple[pd.Timestamp, float]] = {}
    for station, year in zip(keys["station"], keys["heat_year"], strict=True):
        own = found[(found["station"] == station) & (found["heat_year"] == year)]
        middles[str(station), int(year)] = _middle(own)
    errors = []
    for (station, year), (day, _) in middles.items():
        others = [heat for (_, other), (_, heat) in middles.items() if other != year]
        errors.append(heats[station].error_days(year, float(np.mean(others)), day) if others else np.nan)
    heat = found["degree_days"].to_numpy(dtype=np.float64)
    least, middle, most = (
        float(heat.min()),
        float(np.mean([one for _, one in middles.values()])),
        float(heat.max()),
    )
    return Learned(nothing.catches, True, least, middle, most, np.array(errors), tuple(middles))


def _middle(catches: pd.DataFrame) -> tuple[pd.Timestamp, float]:
    """Return the day by which half of a year's catch is in, and the heat then."""
    total = catches["count"].to_numpy(dtype=np.float64).cumsum()
    row = catches.iloc[int(np.searchsorted(total, total[-1] / 2))]
    return row["date"], float(row["degree_days"])
