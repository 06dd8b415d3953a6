"""Published heat sums of agents and one leaf beetle, in both units.

Thresholds convert by (F - 32) / 1.8, degree-days by 1.8 alone; mixing the two is the classic mistake.
"""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.sums import day_reached
from geo_scout.model.heat_model import HeatModel, MonthDay

JANUARY = MonthDay(1, 1)


def test_elm_leaf_beetle():
    """University of California IPM phenology page: 51.8 degF is 11.0 degC; degree-days since 1 March."""
    model = HeatModel(51.8, "degf", "single_sine", MonthDay(3, 1))
    assert model.base_degc == pytest.approx(11.0)
    # printed to one decimal of degC days
    assert model.degc_days([360, 510, 700, 1565]) == pytest.approx([200.0, 283.3, 388.9, 869.4], abs=0.05)


@pytest.mark.parametrize(
    ("base_degc", "base_degf", "degc_days", "degf_days"),
    [(7.5, 45.5, 461.0, 829.8), (9.3, 48.7, 433.0, 779.4)],
    ids=["Aphthona lacertosa", "Aphthona nigriscutis"],
)
def test_median_emergence_of_two_flea_beetles(base_degc, base_degf, degc_days, degf_days):
    """Skinner, Ragsdale, Hansen, Chandler & Moon 2004, Environ. Entomol. 33:147-154.

    Bases are printed to 0.1 degF (48.74), the sums are exact products.
    """
    fahrenheit = HeatModel(base_degf, "degf", "single_sine", JANUARY)
    assert fahrenheit.base_degc == pytest.approx(base_degc, abs=0.05 / 1.8)
    assert float(fahrenheit.degc_days(degf_days)) == pytest.approx(degc_days)
    assert float(fahrenheit.own_degree_days(degc_days)) == pytest.approx(degf_days)


def test_a_model_in_either_unit_gives_the_same_day():
    """The same published model, 461 degC days above 7.5 degC = 829.8 degF days above 45.5 degF."""
    day = np.arange(365.0)[:, None]
    tmin = 2.0 - 14.0 * np.cos(2 * np.pi * day / 365.0)
    tmax = tmin + 13.0
    found = [
        float(day_reached(daily_degree_days(tmin, tmax, model), model.degc_days([median])).day[0, 0])
        for model, median in [
            (HeatModel(7.5, "degc", "single_sine", JANUARY), 461.0),
            (HeatModel(45.5, "degf", "single_sine", JANUARY), 829.8),
        ]
    ]
    assert found[0] == pytest.approx(found[1], abs=1e-9)
    assert 100 < found[0] < 200
