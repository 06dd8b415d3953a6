"""Bioclimatic variables of three stations against xclim, frozen by freeze_xclim_bioclim.py.

xclim was written independently and after another manual. Where it differs by convention the difference is
taken out here in the open: its seasonality of temperature divides by the mean in kelvin, its standard
deviations divide by 12, and it adds no millimetre.
"""

import json
from pathlib import Path

import numpy as np
import pytest

from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.bioclim_convention import BioclimConvention

FROZEN = json.loads(Path(__file__).with_name("freeze_xclim_bioclim.json").read_text(encoding="utf-8"))
STATIONS = FROZEN["stations"]
SHARED = [f"bio{number:02d}" for number in range(1, 20) if number != 4]


def of_station(name, quarters):
    convention = BioclimConvention(divisor="n", precipitation_plus_one=False, quarters=quarters)
    months = [
        np.array(STATIONS[name][key])[:, None] for key in ("tmin_degc", "tmax_degc", "precipitation_mm")
    ]
    return {key: float(value[0]) for key, value in bioclim(*months, convention=convention).items()}


@pytest.mark.parametrize("quarters", ["wrapped", "within_year"])
@pytest.mark.parametrize("station", STATIONS)
def test_variables_of_a_station(station, quarters):
    # Frozen to six decimals; normals have two, so no quarters are equal.
    expected, found = STATIONS[station][quarters], of_station(station, quarters)
    assert {name: found[name] for name in SHARED} == pytest.approx(
        {name: expected[name] for name in SHARED}, abs=1e-6
    )


@pytest.mark.parametrize("station", STATIONS)
def test_seasonality_of_temperature(station):
    found = of_station(station, "wrapped")
    in_kelvin = found["bio04"] / (found["bio01"] + 273.15)
    expected = STATIONS[station]["wrapped"]["temperature_seasonality_of_kelvin"]
    assert in_kelvin == pytest.approx(expected, abs=1e-6)


def test_the_southern_summer_lies_across_new_year():
    """At Cordoba the warmest three months are December to February: only wrapped quarters see them."""
    across, within = STATIONS["cordoba"]["wrapped"], STATIONS["cordoba"]["within_year"]
    assert across["bio10"] > within["bio10"]
    mean = (np.array(STATIONS["cordoba"]["tmin_degc"]) + STATIONS["cordoba"]["tmax_degc"]) / 2
    assert of_station("cordoba", "wrapped")["bio10"] == pytest.approx(mean[[11, 0, 1]].mean())


@pytest.mark.parametrize("station", STATIONS)
def test_where_the_year_starts_is_irrelevant_to_wrapped_quarters(station):
    """The same station seen from the other hemisphere: July first. No two of its quarters are equal."""
    months = [STATIONS[station][key] for key in ("tmin_degc", "tmax_degc", "precipitation_mm")]
    turned = bioclim(*(np.roll(month, 6)[:, None] for month in months))
    straight = bioclim(*(np.array(month)[:, None] for month in months))
    assert {name: float(value[0]) for name, value in turned.items()} == pytest.approx(
        {name: float(value[0]) for name, value in straight.items()}, rel=1e-12
    )
