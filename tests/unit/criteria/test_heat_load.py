import numpy as np
import pytest

from geo_scout.criteria import heat_load


def measure(loads, shares, slopes, equation=3):
    given = (loads, shares, slopes, [equation] * len(loads))
    return heat_load.measure(
        {name: np.array(one, float) for name, one in zip(heat_load.NEEDS, given, strict=True)}
    )


def test_the_heat_load_its_equation_and_what_it_is_of():
    measured = measure([0.8123, 0.9], [1.0, 0.3], [10.0, 50.0])
    assert [heat_load.describe(measured, at) for at in range(2)] == [
        "heat load 0.812 (McCune & Keon 2002, equation 3)",
        "heat load 0.900 (McCune & Keon 2002, equation 3) on the 30% of the patch that has a heat load",
    ]
    assert measured.column("heat_load") == "heat_load"
    assert measured.details["heat_load_equation"].tolist() == [3, 3]


@pytest.mark.parametrize(
    ("equation", "said"),
    [
        (1, "equation 1 holds for latitudes 0 to 60 deg"),
        (2, "equation 2 holds for latitudes 0 to 60 deg and slopes to 60 deg"),
        (3, "equation 3 holds for latitudes 30 to 60 deg and slopes to 60 deg"),
    ],
)
def test_beyond_the_equation_it_is_missing_and_says_why(equation, said):
    measured = measure([np.nan, np.nan], [0.0, 0.0], [4.0, np.nan], equation)
    assert not measured.known.any()
    assert heat_load.describe(measured, 0) == f"heat load unknown: {said} (heat_load_equation)"
    assert heat_load.describe(measured, 1) == "heat load unknown: no slope in the elevation layer here"
