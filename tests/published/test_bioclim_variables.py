"""Bioclimatic variables against a published example."""

import numpy as np
import pytest

from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.bioclim_convention import BioclimConvention

TMIN = np.array([10, 12, 14, 16, 18, 20, 22, 21, 19, 17, 15, 12.0])
RAIN = np.array([0, 2, 10, 30, 80, 160, 80, 20, 40, 60, 20, 0.0])

# The example input of an R package's manual for these variables (tmax = tmin + 5), values by the formulas of
# O'Donnell & Ignizio 2012, USGS Data Series 691; printed to four decimals.
EXPECTED = {
    "bio01": 18.8333,
    "bio02": 5.0,
    "bio03": 29.4118,
    "bio04": 384.5501,
    "bio05": 27.0,
    "bio06": 10.0,
    "bio07": 17.0,
    "bio08": 22.5,
    "bio09": 13.8333,
    "bio10": 23.5,
    "bio11": 13.8333,
    "bio12": 502.0,
    "bio13": 160.0,
    "bio14": 0.0,
    "bio15": 109.9637,
    "bio16": 320.0,
    "bio17": 2.0,
    "bio18": 260.0,
    "bio19": 2.0,
}


@pytest.mark.parametrize(("name", "value"), EXPECTED.items())
def test_manual_example(name, value):
    # Half a unit of the last printed digit.
    found = bioclim(TMIN[:, None], TMIN[:, None] + 5, RAIN[:, None])
    assert float(found[name][0]) == pytest.approx(value, abs=5e-5)


def test_population_standard_deviation_convention():
    # The same example with divisor 12: 368.1787, printed to four decimals.
    by_twelve = BioclimConvention(divisor="n")
    found = bioclim(TMIN[:, None], TMIN[:, None] + 5, RAIN[:, None], convention=by_twelve)
    assert float(found["bio04"][0]) == pytest.approx(368.1787, abs=5e-5)
