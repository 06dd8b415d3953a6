"""Three routes from temperatures to the days on which heat sums are reached.

This season's weather continued with what is usual; the middle of many years; monthly normals.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import (
    HeatYear,
    from_common_calendar,
    heat_years,
    to_common_calendar,
)
from geo_scout.formulas.degree_days.normals import normal_degree_days, observed_then_normal
from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS, day_quantiles
from geo_scout.model.heat_model import HeatModel, MonthDay
from geo_scout.model.site_windows import FloatArray
from geo_scout.model.window import MOMENTS

Known = NDArray[np.bool_]
_OPENS = MOMENTS.index("opens")


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
        (n,) years the answer rests on; 0 for monthly normals.
    """

    day: FloatArray
    known: Known
    early: FloatArray
    late: FloatArray
    years: NDArray[np.int64]


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
    def after(self) -> dt.date:
        """First day of the heat year that follows."""
        return self.model.start.on(self.start.year + 1)

    @property
    def days_in_year(self) -> int:
        """Days of the season's heat year."""
        return (self.after - self.start).days


@dataclass(frozen=True)
class RecordHeat:
    """A station's daily heat at n places, cut at the first day of the season's heat year.

    Parameters
    ----------
    first_day
        Date of the first row of ``before``.
    before
        (days, n) heat of the days before the season's heat year [degC days].
    seen
        (days, n) heat of the season's own days from its first on; no row where the record holds none
        [degC days].
    """

    first_day: dt.date
    before: FloatArray
    seen: FloatArray


def heat_of_record(
    question: HeatQuestion, first_day: dt.date, tmin_degc: FloatArray, tmax_degc: FloatArray
) -> RecordHeat:
    """Return a record's daily heat, before the season's heat year and in it.

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
    RecordHeat
        A record that begins after the first day of the season's heat year has seen nothing of it: the sum
        until then is not known.
    """
    daily = daily_degree_days(tmin_degc, tmax_degc, question.model)
    before = min(max((question.start - first_day).days, 0), len(daily))
    seen = daily[before:][: question.days_in_year] if first_day <= question.start else daily[:0]
    return RecordHeat(first_day, daily[:before], seen)


def days_over_years(question: HeatQuestion, record: RecordHeat) -> HeatDays:
    """Return the days as they are in the middle of the years of a record, with early and late openings.

    Parameters
    ----------
    question
        Model, sums and heat year.
    record
        Every heat year of ``before`` is a way in which the season may go on after the last day that was
        seen.

    Returns
    -------
    HeatDays
        Early and late only where ten or more years are known.
    """
    years, day, knows = days_in_each_year(question, record)
    if not years:
        return nothing_known(record.before.shape[1])
    found = day_quantiles(day, knows, fewest_years=1)
    early, middle, late = from_common_calendar(found.day, question.start)
    # What was seen is no matter of other years; the common calendar would move 29 February.
    seen = day_reached(record.seen, question.sums_degc_days).day
    early, middle, late = (np.where(np.isnan(seen), one, seen) for one in (early, middle, late))
    are_enough = found.years_known[_OPENS] >= FEWEST_YEARS
    return HeatDays(
        day=middle,
        known=np.asarray(found.years_known > 0, dtype=np.bool_),
        early=np.where(are_enough, early[_OPENS], np.nan),
        late=np.where(are_enough, late[_OPENS], np.nan),
        years=np.asarray(found.years_known.max(axis=0), dtype=np.int64),
    )


def days_in_each_year(
    question: HeatQuestion, record: RecordHeat
) -> tuple[tuple[HeatYear, ...], FloatArray, Known]:
    """Return the years of a record, and the days if the season goes on as each of them did.

    Returns
    -------
    tuple
        The years; (4, years, n) days on the common calendar, nan where a sum is not reached; whether that is
        known [days].
    """
    years = heat_years(record.first_day, len(record.before), question.model.start)
    four = (len(MOMENTS), 0, record.before.shape[1])
    if not years:
        return (), np.empty(four), np.empty(four, dtype=np.bool_)
    traces = [_as_in(question, record, year) for year in years]
    days, knows = (np.stack(parts, axis=1) for parts in zip(*traces, strict=True))
    return years, days, knows


def _as_in(question: HeatQuestion, record: RecordHeat, year: HeatYear) -> tuple[FloatArray, Known]:
    """Return the days, on the common calendar, if the season goes on as another year did."""
    seen = len(record.seen)
    if seen == question.days_in_year:
        whole = day_reached(record.seen, question.sums_degc_days)
        return to_common_calendar(whole.day, question.start), whole.known
    same_date = _row_of(year.start, question.start + dt.timedelta(days=seen))
    reached = day_reached(
        np.concatenate([record.seen, record.before[year.rows][same_date:]]), question.sums_degc_days
    )
    in_season = to_common_calendar(reached.day, question.start)
    in_year = to_common_calendar(reached.day - seen + same_date, year.start)
    known = reached.known & (year.is_complete | ~np.isnan(reached.day))
    return np.where(reached.day < seen, in_season, in_year), np.asarray(known, dtype=np.bool_)


def _row_of(start: dt.date, date: dt.date) -> int:
    """Return how many days after the start of a heat year the same date of the year comes."""
    day = MonthDay(date.month, date.day)
    here = day.on(start.year)
    return ((here if here >= start else day.on(start.year + 1)) - start).days


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


def days_from(question: HeatQuestion, usual: FloatArray, seen: FloatArray) -> HeatDays:
    """Return the days from a whole year's heat, the part that was seen in place of what is usual."""
    heat = observed_then_normal(seen, usual) if len(seen) else usual
    day, known = day_reached(heat, question.sums_degc_days)
    never = np.full(day.shape[1], np.nan)
    return HeatDays(day, known, never, never, np.zeros(day.shape[1], dtype=np.int64))


def nothing_known(count: int) -> HeatDays:
    """Return the answer for n places of which nobody knows anything."""
    four = (len(MOMENTS), count)
    return HeatDays(
        day=np.full(four, np.nan),
        known=np.zeros(four, dtype=np.bool_),
        early=np.full(count, np.nan),
        late=np.full(count, np.nan),
        years=np.zeros(count, dtype=np.int64),
    )
