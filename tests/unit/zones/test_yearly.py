"""Years of populations, from months or from ready variables."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.weather import YearlyClimate
from geo_scout.zones.yearly import years_of_populations

VARIABLES = ["bio05", "bio06", "bio12"]
POPULATIONS = pd.DataFrame({"name": ["Ferrow  Bend", "Old ground"], "site_id": ["A-1", ""]})
COLUMNS = ["place", "year", "month", "tmin_degc", "tmax_degc", "precipitation_mm"]


def months(place, *years):
    rows = [
        (place, year, month, month - 10.0 + year - 2000, month + 5.0, 10.0 * month)
        for year in years
        for month in range(1, 13)
    ]
    return pd.DataFrame(rows, columns=COLUMNS)


def test_months_of_a_place_become_the_variables_of_each_of_its_years():
    """Minima of month m are m - 10 and a degree more each year, maxima m + 5, rain 10 m: 780 mm a year."""
    found = years_of_populations(
        POPULATIONS, VARIABLES, YearlyClimate(months("old GROUND", 2001, 2002)), ClimateTable()
    )
    assert found[0] is None
    year, values = found[1]
    assert year.tolist() == [2001, 2002]
    assert values == pytest.approx(np.array([[17.0, -8.0, np.log(781.0)], [17.0, -7.0, np.log(781.0)]]))


def test_the_site_id_goes_before_the_name():
    yearly = YearlyClimate(pd.concat([months("ferrow bend", 2001), months("A-1", 2005)]))
    assert years_of_populations(POPULATIONS, VARIABLES, yearly, ClimateTable())[0][0].tolist() == [2005]


def test_the_convention_is_the_seasons():
    rows = months("A-1", 2001)
    found = years_of_populations(POPULATIONS, ["bio04"], YearlyClimate(rows), ClimateTable(divisor="n"))
    other = years_of_populations(POPULATIONS, ["bio04"], YearlyClimate(rows), ClimateTable())
    stack = [rows[name].to_numpy()[:, None] for name in COLUMNS[3:]]
    assert other[0][1][0, 0] == pytest.approx(float(bioclim(*stack)["bio04"][0]))
    assert found[0][1][0, 0] == pytest.approx(other[0][1][0, 0] * np.sqrt(11 / 12))


def test_ready_variables_are_taken_as_they_are_and_rain_by_its_logarithm():
    rows = pd.DataFrame(
        {"place": "A-1", "year": [2001, 2002], "bio06": [-8.0, -7.0], "bio12": [299.0, np.nan]}
    )
    yearly = YearlyClimate(pd.DataFrame(columns=COLUMNS), rows)
    year, values = years_of_populations(POPULATIONS, VARIABLES, yearly, ClimateTable())[0]
    assert year.tolist() == [2001, 2002]
    expected = [[np.nan, -8.0, np.log(300.0)], [np.nan, -7.0, np.nan]]
    assert values == pytest.approx(np.array(expected), nan_ok=True)


def test_no_table():
    assert years_of_populations(POPULATIONS, VARIABLES, None, ClimateTable()).tolist() == [None, None]
