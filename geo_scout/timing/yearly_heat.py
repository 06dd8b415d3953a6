"""Heat of a whole year at every place, and how it comes day by day in a usual year."""

import datetime as dt

import numpy as np

from geo_scout.formulas.degree_days.heat_years import heat_years
from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS
from geo_scout.model.site_windows import FloatArray, Temperatures
from geo_scout.model.timing import HeatWindow
from geo_scout.timing.heat_routes import HeatQuestion, days_of_normals, heat_of_record
from geo_scout.timing.stations import PLACES_AT_ONCE, station_groups


def yearly_heat(window: HeatWindow, temperatures: Temperatures, reference: dt.date) -> FloatArray:
    """Return the heat of a whole year at every place.

    Parameters
    ----------
    window
        Base, upper threshold, method, cutoff and start.
    temperatures
        What is known at the places.
    reference
        A day of the season; only the years before its heat year count.

    Returns
    -------
    numpy.ndarray
        (n,) the mean of ten or more whole years at the station of each place, else that of the normals; nan
        where neither is known [degC days].
    """
    model = window.model()
    question = HeatQuestion(model, np.full(4, np.nan), model.start.on(reference.year))
    total = np.full(len(temperatures), np.nan)
    for places, record, _ in station_groups(temperatures):
        for first in range(0, len(places), PLACES_AT_ONCE):
            block = places[first : first + PLACES_AT_ONCE]
            tmin, tmax = temperatures.tmin_degc[:, block], temperatures.tmax_degc[:, block]
            heat = days_of_normals(question, tmin, tmax, temperatures.spread_degc, 0.0)
            if record is not None:
                low, high = record.at_places(temperatures, block)
                whole = heat_of_record(question, record.first_day, low, high)
                usual = usual_heat(question, whole.first_day, whole.before)
                heat = np.where(np.isnan(usual).any(axis=0), heat, usual)
            total[block] = heat.sum(axis=0)
    return total


def usual_heat(question: HeatQuestion, first_day: dt.date, daily: FloatArray) -> FloatArray:
    """Return the mean heat of each day of the year over the whole years of a record.

    Parameters
    ----------
    question
        Model and heat year.
    first_day
        Date of the first row.
    daily
        (days, n) [degC days].

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


def _leap_row(start: dt.date) -> int:
    """Return the row of 29 February in a heat year of 366 days."""
    year = start.year if (start.month, start.day) <= (2, 29) else start.year + 1
    return (dt.date(year, 2, 29) - start).days
