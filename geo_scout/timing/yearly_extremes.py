"""The coldest and the hottest day of a usual year at every place, from daily weather."""

import numpy as np

from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS
from geo_scout.model.site_windows import Temperatures, YearlyExtremes
from geo_scout.timing.stations import StationRecord, station_groups

# Beyond it another station's coldest night says little (our choice, as for windows).
MOST_KM = 50.0
# A year that lacks more days may have lost its coldest one (our choice).
MOST_DAYS_MISSING = 10


def yearly_extremes(temperatures: Temperatures) -> YearlyExtremes:
    """Return the mean of the yearly extremes at the station of each place, at the place's elevation.

    Parameters
    ----------
    temperatures
        Daily weather, and where the places are.

    Notes
    -----
    An annual extreme is the lowest minimum, or the highest maximum, of a calendar year; the mean is over ten
    or more years that lack at most ten days each. Monthly normals never give it. It is missing where the
    nearest station is more than 50 km away. Brought to the place's elevation by the season's lapse rates,
    it can still be too mild for a valley floor.
    """
    count = len(temperatures)
    low, high = np.full(count, np.nan), np.full(count, np.nan)
    basis = np.full(count, "", dtype=object)
    for places, record, far_km in station_groups(temperatures):
        if record is None:
            continue
        coldest, hottest, years = extremes_of_record(record)
        near = places[~(far_km > MOST_KM)]
        if years < FEWEST_YEARS or not len(near):
            continue
        higher_km = record.higher_m(temperatures.elevation_m[near]) / 1000.0
        low[near] = coldest - temperatures.tmin_degc_per_km * higher_km
        high[near] = hottest - temperatures.tmax_degc_per_km * higher_km
        basis[near] = f"mean of {years} years at {record.place(temperatures, near)}"
    return YearlyExtremes(low, high, basis)


def extremes_of_record(record: StationRecord) -> tuple[float, float, int]:
    """Return the means of the yearly lowest minimum and highest maximum, and of how many years they are.

    Returns
    -------
    tuple
        nan, nan and 0 where no year is nearly whole [degC].
    """
    first = np.datetime64(record.first_day, "D")
    year = (first + np.arange(len(record.tmin_degc))).astype("datetime64[Y]")
    lowest, highest = [], []
    for one in np.unique(year):
        here = year == one
        days = int((one + 1).astype("datetime64[D]").astype(int) - one.astype("datetime64[D]").astype(int))
        low, high = record.tmin_degc[here], record.tmax_degc[here]
        known = min(np.isfinite(low).sum(), np.isfinite(high).sum())
        if days - known <= MOST_DAYS_MISSING:
            lowest.append(np.nanmin(low))
            highest.append(np.nanmax(high))
    if not lowest:
        return np.nan, np.nan, 0
    return float(np.mean(lowest)), float(np.mean(highest)), len(lowest)
