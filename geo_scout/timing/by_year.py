"""The dates of a window by heat in every year of a record."""

import numpy as np

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import dates_of, heat_years
from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.model.site_windows import Temperatures, YearlyDates
from geo_scout.model.timing import HeatWindow
from geo_scout.model.window import MOMENTS
from geo_scout.timing.stations import station_groups


def dates_by_year(window: HeatWindow, temperatures: Temperatures) -> tuple[YearlyDates, ...]:
    """Return, for each place with daily weather, the dates in every year its record begins.

    Parameters
    ----------
    window
        The profile's model and sums.
    temperatures
        What is known at the places.

    Returns
    -------
    tuple of YearlyDates
        In the order of the places; without a scouting date where no sum says so. A date is missing where
        the sum is not reached, a day before it is missing, or the record ends.
    """
    model = window.model()
    sums = np.array([np.nan if one is None else one for one in window.sums_degc_days()])
    found: dict[int, YearlyDates] = {}
    for places, record, _ in station_groups(temperatures):
        if record is None:
            continue
        daily = daily_degree_days(*record.at_places(temperatures, places), model)
        years = heat_years(record.first_day, len(daily), model.start)
        dates = np.full((len(places), len(MOMENTS), len(years)), np.datetime64("NaT", "D"))
        for column, year in enumerate(years):
            day = day_reached(daily[year.rows], sums).day
            dates[:, :, column] = dates_of(day, year.start).T
        for row, place in enumerate(places):
            found[int(place)] = YearlyDates(tuple(year.start.year for year in years), dates[row])
    return tuple(found[place] for place in sorted(found))
