"""Daily weather of one station: the months of the climate, with weather that lasts some days."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from making.climate import HALF_RANGE_DEGC, MEAN_DEGC
from making.frame import chance

STATION = "Quillen Ford"
LONGITUDE_DEG, LATITUDE_DEG, ELEVATION_M = -109.5982, 47.1366, 1000
FIRST_DAY, LAST_DAY = dt.date(2012, 1, 1), dt.date(2026, 10, 31)
# How much days and years differ, and how much of one day is left on the next; invented.
DAY_DEGC, YEAR_DEGC, LASTING = 4.2, 0.8, 0.72
# A station's record is never whole: days on which the thermometer was broken.
BROKEN = {dt.date(2019, 2, 11) + dt.timedelta(days=number) for number in range(3)}


def make_weather() -> Iterator[tuple[str, str, str]]:
    """Yield day, minimum and maximum [degC] as text, in order of time."""
    random = chance("weather")
    middle = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
    days = (LAST_DAY - FIRST_DAY).days + 1
    steps = random.standard_normal(days) * DAY_DEGC * (1 - LASTING**2) ** 0.5
    wider = random.standard_normal(days)
    years = random.standard_normal(LAST_DAY.year - FIRST_DAY.year + 1) * YEAR_DEGC
    lasting = 0.0
    for number in range(days):
        day = FIRST_DAY + dt.timedelta(days=number)
        # Rounded at every step, so that the last bits of a machine never reach the file.
        lasting = round(LASTING * lasting + float(steps[number]), 3)
        of_year = day.timetuple().tm_yday
        usual = float(np.interp(of_year, middle, MEAN_DEGC, period=365))
        half = float(np.interp(of_year, middle, HALF_RANGE_DEGC, period=365)) * (
            1 + 0.15 * float(wider[number])
        )
        mean = usual + lasting + float(years[day.year - FIRST_DAY.year])
        if day not in BROKEN:
            yield f"{day:%Y-%m-%d}", f"{mean - max(half, 1):.1f}", f"{mean + max(half, 1):.1f}"
