"""Window dates from a real station against a plain loop that shares no code with the package.

Champion, Nebraska, 1982-2018: aquacrop 3.1.0, aquacrop/data/champion_climate.txt (day, month, year, minimum and
maximum [degC], precipitation, reference evapotranspiration). The loop adds single-sine degree-days day by day with
Baskerville & Emin's (1969, Ecology 50:514-517) formula in plain `math`, and takes the middle of the years with
pandas. Dates must be the same: both call the day by which the sum is reached.
"""

import datetime as dt
import math

import numpy as np
import pandas as pd
import pytest

from geo_scout.layers.weather import daily_weather
from geo_scout.model.layer_table import LayerTable
from geo_scout.season import read_profile
from geo_scout.timing import at_stations, dates_by_year, site_windows
from tests.reading_seasons import packaged

AGENTS = ("Aphthona lacertosa", "Aphthona nigriscutis", "Galerucella calmariensis")


@pytest.fixture(scope="module")
def rows():
    path = packaged("aquacrop", "aquacrop/data/champion_climate.txt", "c480a22588457202")
    return np.genfromtxt(path, skip_header=1, encoding="utf-8")


@pytest.fixture(scope="module")
def champion(rows, tmp_path_factory):
    """Return the station as the layers room reads it from a table."""
    path = tmp_path_factory.mktemp("champion") / "champion.csv"
    dates = [f"{int(year)}-{int(month):02}-{int(day):02}" for day, month, year in rows[:, :3]]
    pd.DataFrame({"date": dates, "tmin": rows[:, 3], "tmax": rows[:, 4]}).to_csv(path, index=False)
    weather, noticed = daily_weather(
        LayerTable(path="champion.csv"), path, dt.date(2018, 12, 31), 0.0, on_map=False
    )
    assert noticed.findings == []
    return weather


def degree_days(low, high, base, upper):
    """Return one day's degree-days with a horizontal cutoff, by Baskerville & Emin's arcsine."""

    def above(threshold):
        middle, half = (low + high) / 2, (high - low) / 2
        if low >= threshold:
            return middle - threshold
        if high <= threshold:
            return 0.0
        angle = math.asin((threshold - middle) / half)
        return ((middle - threshold) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi

    return above(base) - (above(upper) if upper is not None else 0.0)


def days_reached(rows, heat, moment):
    """Return the date in each year by which a heat sum of a profile is reached."""
    factor = 1.8 if heat.unit == "degf" else 1.0
    to_degc = (lambda t: (t - 32) / 1.8) if heat.unit == "degf" else (lambda t: t)
    base, upper = to_degc(heat.base.value), None if heat.upper is None else to_degc(heat.upper.value)
    found, total, current = {}, 0.0, None
    for day, month, year, low, high in rows[:, :5]:
        if year != current:
            total, current = 0.0, year
        total += factor * degree_days(low, high, base, upper)
        if total >= getattr(heat.sums, moment).value and int(year) not in found:
            found[int(year)] = dt.date(int(year), int(month), int(day))
    return found


@pytest.mark.parametrize("name", AGENTS)
@pytest.mark.parametrize("moment", ["opens", "peaks"])
def test_every_year_has_the_date_of_the_plain_loop(rows, champion, name, moment):
    heat = read_profile(name).timing.collecting.heat
    [years] = dates_by_year(heat, at_stations(champion))
    row = {"opens": 1, "peaks": 2}[moment]
    ours = dict(zip(years.years, years.dates[row].tolist(), strict=True))
    expected = days_reached(rows, heat, moment)
    assert len(expected) == 37
    assert ours == expected


@pytest.mark.parametrize("name", AGENTS)
def test_the_typical_early_and_late_dates_are_the_quantiles_of_the_years(rows, champion, name):
    """pandas' linear quantiles of the day of the year, 29 February left out, within the day they fall in.

    Ours interpolate between instants of the day and pandas' between whole days: at most a day apart.
    """
    profile = read_profile(name)
    windows = site_windows(profile.timing.collecting, at_stations(champion), dt.date(2019, 5, 1), 14)
    dates = pd.Series(
        pd.to_datetime(list(days_reached(rows, profile.timing.collecting.heat, "opens").values()))
    )
    of_year = dates.dt.day_of_year - (dates.dt.is_leap_year & (dates.dt.month > 2)).astype(int)
    ours = (windows.opens_early[0], windows.dates[1, 0], windows.opens_late[0])
    for quantile, date in zip((0.1, 0.5, 0.9), ours, strict=True):
        assert abs(pd.Timestamp(date).day_of_year - of_year.quantile(quantile)) <= 1.0
    assert windows.basis[0] == "37 years of daily weather at the station, 1982-2018"


def test_this_season_continued_agrees_with_the_loop_over_the_other_years(rows, champion):
    """2018 known to 31 May, then as each of 36 other years went on from 1 June: the middle date of the loop."""
    heat = read_profile("Aphthona lacertosa").timing.collecting.heat
    cut = champion.days["date"] <= pd.Timestamp("2018-05-31")
    seen = type(champion)(champion.stations, champion.days[cut])
    [opens] = site_windows(
        read_profile("Aphthona lacertosa").timing.collecting, at_stations(seen), dt.date(2018, 5, 1), 14
    ).dates[1]
    of_2018 = rows[(rows[:, 2] == 2018) & (rows[:, 1] <= 5)]
    ways = []
    for year in range(1982, 2018):
        after = rows[(rows[:, 2] == year) & (rows[:, 1] >= 6)].copy()
        after[:, 2] = 2018
        ways.append(days_reached(np.vstack([of_2018, after]), heat, "opens")[2018])
    middle = pd.Series(pd.to_datetime(ways)).dt.day_of_year.median()
    assert abs(pd.Timestamp(opens).day_of_year - middle) <= 1.0
