"""Three routes from temperatures to the days on which heat sums are reached.

This season's weather continued with what is normal; the middle of ten or more years; monthly normals.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import (
    YearlyDays,
    days_by_heat_year,
    from_common_calendar,
    heat_years,
)
from geo_scout.formulas.degree_days.normals import normal_degree_days, observed_then_normal
from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS, day_quantiles
from geo_scout.model.heat_model import HeatModel
from geo_scout.model.site_windows import FloatArray

Known = NDArray[np.bool_]


@dataclass(frozen=True)
class HeatDays:
    """Days on which the four sums of a window are reached, counted from the start of the heat year.

    Parameters
    ----------
    day, known
        (4, n) days; nan and known: the sum is not reached [days].
    early, late
        (n,) opening in one year of ten and in nine of ten; nan without ten years [days].
    years
        Complete years the answer rests on; 0 for monthly normals.
    """

    day: FloatArray
    known: Known
    early: FloatArray
    late: FloatArray
    years: int = 0


@dataclass(frozen=True)
class HeatQuestion:
    """What is asked: a model, its sums, and the heat year of the season.

    Parameters
    ----------
    model
        Base, upper threshold, method, cutoff and start.
    sums_degc_days
        (4,) sums of ``window.MOMENTS``; nan for one nobody stated [degC days].
    start
        First day of the season's heat year.
    """

    model: HeatModel
    sums_degc_days: FloatArray
    start: dt.date

    @property
    def days_in_year(self) -> int:
        """Days of the season's heat year."""
        return (self.model.start.on(self.start.year + 1) - self.start).days


def heat_of_record(
    question: HeatQuestion, first_day: dt.date, tmin_degc: FloatArray, tmax_degc: FloatArray
) -> tuple[FloatArray, FloatArray | None]:
    """Return a record's daily heat before the season's heat year, and what is seen of that year.

    Parameters
    ----------
    question
        Model and heat year.
    first_day
        Date of the first row.
    tmin_degc, tmax_degc
        (days, n) [degC].

    Returns
    -------
    tuple
        (days before, n); (days seen, n), None where the record holds nothing of the season [degC days].
    """
    daily = daily_degree_days(tmin_degc, tmax_degc, question.model)
    before = min(max((question.start - first_day).days, 0), len(daily))
    is_within = before < len(daily) and first_day <= question.start
    seen = daily[before:][: question.days_in_year] if is_within else None
    return daily[:before], seen


def days_over_years(question: HeatQuestion, first_day: dt.date, daily: FloatArray) -> HeatDays:
    """Return the middle, early and late days over the years of a record, nan where there are fewer than ten.

    Parameters
    ----------
    question
        Model, sums and heat year.
    first_day
        Date of the first row.
    daily
        (days, n) heat of the record before the season's heat year [degC days].
    """
    count = daily.shape[1]
    yearly = days_by_heat_year(daily, first_day, question.model.start, question.sums_degc_days)
    if len(yearly.years) < FEWEST_YEARS:
        nowhere, never = np.full((4, count), np.nan), np.full(count, np.nan)
        return HeatDays(nowhere, np.zeros((4, count), dtype=np.bool_), never, never)
    found = day_quantiles(yearly.day, yearly.known)
    day = np.stack([from_common_calendar(row, question.start) for row in found.day])
    known = np.asarray(found.years_known >= FEWEST_YEARS, dtype=np.bool_)
    return HeatDays(day[1], known, day[0, 1], day[2, 1], _complete_years(yearly))


def usual_heat(question: HeatQuestion, first_day: dt.date, daily: FloatArray) -> FloatArray:
    """Return the mean heat of each day of the year over the whole years of a record.

    Returns
    -------
    numpy.ndarray
        (days of the season's heat year, n); nan where fewer than ten whole years are known [degC days].
    """
    total = np.zeros((365, daily.shape[1]))
    counted = np.zeros(daily.shape[1], dtype=np.int64)
    for year in heat_years(first_day, len(daily), question.model.start):
        if not year.is_complete:
            continue
        rows = daily[year.rows]
        rows = rows if len(rows) == 365 else np.delete(rows, _leap_row(year.start), axis=0)
        whole = ~np.isnan(rows).any(axis=0)
        total[:, whole] += rows[:, whole]
        counted += whole
    mean = np.where(counted >= FEWEST_YEARS, total / np.maximum(counted, 1), np.nan)
    if question.days_in_year == 365:
        return mean
    at = _leap_row(question.start)
    return np.insert(mean, at, mean[at - 1], axis=0)


def days_of_normals(
    question: HeatQuestion,
    tmin_degc: FloatArray,
    tmax_degc: FloatArray,
    spread_degc: FloatArray | None,
    shift_degc: float,
) -> FloatArray:
    """Return the expected heat of each day of the season's heat year from monthly normals.

    Returns
    -------
    numpy.ndarray
        (days, n); nan where there are no normals [degC days].
    """
    return normal_degree_days(
        tmin_degc,
        tmax_degc,
        question.model,
        spread_degc,
        shift_degc=shift_degc,
        days_in_year=question.days_in_year,
    ).daily_degc_days


def days_from(question: HeatQuestion, usual: FloatArray, seen: FloatArray | None) -> HeatDays:
    """Return the days from a whole year's heat, the part that was seen in place of what is usual."""
    heat = usual if seen is None else observed_then_normal(seen, usual)
    day, known = day_reached(heat, question.sums_degc_days)
    never = np.full(day.shape[1], np.nan)
    return HeatDays(day, known, never, never)


def _complete_years(yearly: YearlyDays) -> int:
    return int(yearly.known.any(axis=(0, 2)).sum())


def _leap_row(start: dt.date) -> int:
    """Return the row of 29 February in a heat year of 366 days."""
    year = start.year if (start.month, start.day) <= (2, 29) else start.year + 1
    return (dt.date(year, 2, 29) - start).days
