import numpy as np
import pytest

from geo_scout.criteria import elevation_difference


def measure(sites_m, populations_m):
    names = np.array([f"P{number}" for number in range(len(populations_m))], dtype=object)
    return elevation_difference.measure(
        {
            "elevation_m": np.array(sites_m, dtype=float),
            "population_elevation_m": np.array(populations_m, dtype=float),
            "population_names": names,
        }
    )


def test_takes_the_population_nearest_in_elevation_whatever_the_order():
    measured = measure([900.0, 1010.0, 500.0, 1600.0, 1200.0], [1500.0, 1000.0, np.nan, 1200.0])
    np.testing.assert_array_equal(measured.value, [100.0, 10.0, 500.0, 100.0, 0.0])
    assert measured.note == (
        "from P1 at 1000.0 m", "from P1 at 1000.0 m", "from P1 at 1000.0 m", "from P0 at 1500.0 m",
        "from P3 at 1200.0 m",
    )  # fmt: skip
    assert measured.column("elevation_difference") == "elevation_difference_m"
    np.testing.assert_array_equal(measured.details["elevation_m"], [900.0, 1010.0, 500.0, 1600.0, 1200.0])


def test_one_population_serves_sites_above_and_below():
    np.testing.assert_array_equal(measure([800.0, 1200.0], [1000.0]).value, [200.0, 200.0])


def test_a_site_halfway_between_two_populations_has_one_answer():
    measured = measure([1100.0], [1000.0, 1200.0])
    assert (measured.value[0], measured.note[0]) == (100.0, "from P0 at 1000.0 m")


@pytest.mark.parametrize("populations_m", [[], [np.nan]])
def test_without_a_population_elevation_it_is_missing(populations_m):
    measured = measure([800.0], populations_m)
    assert not measured.known.any()
    said = "elevation difference unknown: no population has an elevation"
    assert elevation_difference.describe(measured, 0) == said


def test_without_a_site_elevation_it_is_missing():
    measured = measure([np.nan, 800.0], [1000.0])
    assert measured.known.tolist() == [False, True]
    assert elevation_difference.describe(measured, 0) == (
        "elevation difference unknown: no elevation at the site"
    )
    assert elevation_difference.describe(measured, 1) == "200 m of elevation from P0 at 1000.0 m"


def test_no_sites_at_all():
    assert len(measure([], [1000.0]).value) == 0
