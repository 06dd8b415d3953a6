"""How the dates of one place come about, from its temperatures on, for a reader who does it again."""

import datetime as dt

import numpy as np
import pandas as pd

from geo_scout.formulas.degree_days.heat_years import to_common_calendar
from geo_scout.model.site_windows import FloatArray, HeatTrace, SiteWindows, Temperatures
from geo_scout.model.timing import HeatWindow
from geo_scout.model.window import MOMENTS
from geo_scout.timing.heat_routes import (
    HeatQuestion,
    RecordHeat,
    days_from,
    days_in_each_year,
    days_of_normals,
    days_over_years,
    heat_of_record,
)
from geo_scout.timing.stations import StationRecord, station_groups

_OPENS = MOMENTS.index("opens")
_NOTHING = np.empty(0)


def heat_trace(
    window: HeatWindow, temperatures: Temperatures, windows: SiteWindows, place: int
) -> HeatTrace | None:
    """Return the steps from temperatures to the dates of one place.

    Parameters
    ----------
    window
        The profile's model and sums.
    temperatures
        What is known at the places.
    windows
        The dates at the places.
    place
        Which of them.

    Returns
    -------
    HeatTrace or None
        None where the dates do not come from the heat.
    """
    if windows.heat_from is None or windows.years is None or windows.kind[place] != "degree-days":
        return None
    sums = np.array([np.nan if one is None else one for one in window.sums_degc_days()])
    question = HeatQuestion(window.model(), sums, windows.heat_from)
    here = np.array([place], dtype=np.intp)
    record = next((found for places, found, _ in station_groups(temperatures) if place in places), None)
    if record is None or not windows.years[place]:
        return _by_normals(question, temperatures, record, here)
    return _by_years(question, temperatures, record, here, windows.dates[_OPENS, place])


def _by_years(
    question: HeatQuestion,
    temperatures: Temperatures,
    record: StationRecord,
    here: "np.ndarray[tuple[int], np.dtype[np.intp]]",
    opens: np.datetime64,
) -> HeatTrace:
    heat = heat_of_record(question, record.first_day, *record.at_places(temperatures, here))
    without = RecordHeat(heat.first_day, heat.before, heat.seen[:0])
    used = next(
        (one for one in (heat, without) if _date(question, days_over_years(question, one).day) == opens), heat
    )
    years, days, knows = days_in_each_year(question, used)
    higher_m = float(record.higher_m(temperatures.elevation_m[here])[0])
    return HeatTrace(
        station=record.name,
        station_elevation_m=record.elevation_m,
        higher_m=higher_m,
        cooler_tmin_degc=temperatures.tmin_degc_per_km * higher_m / 1000,
        cooler_tmax_degc=temperatures.tmax_degc_per_km * higher_m / 1000,
        years=tuple(year.start.year for year in years),
        days=np.where(knows, days, np.nan)[:, :, 0],
        middle=to_common_calendar(days_over_years(question, used).day[:, 0], question.start),
        seen_until=_seen_until(question, used),
        month_heat=_NOTHING,
        spread_degc=_NOTHING,
        example=None if len(used.seen) else _example(question, used, days[_OPENS, :, 0]),
    )


def _by_normals(
    question: HeatQuestion,
    temperatures: Temperatures,
    record: StationRecord | None,
    here: "np.ndarray[tuple[int], np.dtype[np.intp]]",
) -> HeatTrace:
    months = temperatures.tmin_degc[:, here], temperatures.tmax_degc[:, here]
    usual = days_of_normals(question, *months, temperatures.spread_degc, 0.0)
    seen = np.empty((0, 1))
    if record is not None:
        seen = heat_of_record(question, record.first_day, *record.at_places(temperatures, here)).seen
        seen = seen[:0] if np.isnan(seen).any() else seen
    heat = RecordHeat(question.start, usual[:0], seen)
    dates = pd.date_range(question.start, periods=len(usual))
    month = np.asarray((dates.month - question.start.month) % 12)
    return HeatTrace(
        station="" if record is None or not len(seen) else record.name,
        station_elevation_m=np.nan if record is None else record.elevation_m,
        higher_m=np.nan,
        cooler_tmin_degc=np.nan,
        cooler_tmax_degc=np.nan,
        years=(),
        days=np.empty((len(MOMENTS), 0)),
        middle=days_from(question, usual, seen).day[:, 0],
        seen_until=_seen_until(question, heat),
        month_heat=question.model.own_degree_days(np.bincount(month, usual[:, 0], minlength=12)),
        spread_degc=_NOTHING if temperatures.spread_degc is None else temperatures.spread_degc,
        example=None,
    )


def _date(question: HeatQuestion, day: FloatArray) -> np.datetime64:
    if np.isnan(day[_OPENS, 0]):
        return np.datetime64("NaT", "D")
    return np.datetime64(question.start, "D") + int(day[_OPENS, 0])


def _seen_until(question: HeatQuestion, used: RecordHeat) -> dt.date | None:
    return question.start + dt.timedelta(days=len(used.seen) - 1) if len(used.seen) else None


def _example(
    question: HeatQuestion, used: RecordHeat, opens: FloatArray
) -> tuple[dt.date, float, float] | None:
    """Return the day on which the window opens in the last year that has one, with the sums around it."""
    years, _, _ = days_in_each_year(question, used)
    for year, day in zip(reversed(years), opens[::-1], strict=True):
        if np.isnan(day):
            continue
        total = np.cumsum(used.before[year.rows][:, 0])
        after = int(np.searchsorted(total, question.sums_degc_days[_OPENS]))
        around = np.array([total[after - 1] if after else 0.0, total[after]])
        before, then = question.model.own_degree_days(around)
        return year.start + dt.timedelta(days=after), float(before), float(then)
    return None
