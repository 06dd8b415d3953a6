import numpy as np
import pytest
from pyproj import CRS

from geo_scout.layers.places.utm_positions import read_utm

WGS84 = CRS.from_epsg(4326)


def texts(*values):
    array = np.empty(len(values), dtype=object)
    array[:] = values
    return array


def read(zones, easting_m=None, northing_m=None):
    number = len(zones)
    east = np.full(number, 500_000.0) if easting_m is None else np.array(easting_m, dtype=float)
    north = np.full(number, 5_200_000.0) if northing_m is None else np.array(northing_m, dtype=float)
    return read_utm(east, north, texts(*zones), WGS84)


@pytest.mark.parametrize("zone", ["12N", "12 n", "12 north", "UTM 12N", "UTM Zone 12 North", "12T", "12 T"])
def test_the_middle_of_zone_12_is_111_west(zone):
    longitude_deg, latitude_deg, problems = read([zone])
    assert problems.tolist() == [""]
    assert longitude_deg.tolist() == pytest.approx([-111.0], abs=1e-9)
    assert 46.9 < latitude_deg[0] < 47.0


def test_south_is_south():
    # On the equator the northing is 0 in the north and 10,000 km in the south.
    longitude_deg, latitude_deg, problems = read(["33N", "33 South", "33S"], northing_m=[0, 1e7, 9e6])
    assert problems.tolist() == ["", "", ""]
    assert longitude_deg.tolist() == pytest.approx([15.0] * 3, abs=1e-9)
    assert latitude_deg[:2].tolist() == pytest.approx([0.0, 0.0], abs=1e-9)
    assert -9.1 < latitude_deg[2] < -9.0


def test_12s_with_a_northing_of_band_s_has_two_meanings():
    _, _, problems = read(["12S", "12S"], northing_m=[3_900_000, 5_900_000])
    assert problems.tolist() == ["may be the southern hemisphere, or band S, 32 to 40 degrees north", ""]


def test_other_letters_of_the_column_say_that_s_is_a_band():
    _, latitude_deg, problems = read(["12S", "12T"], northing_m=[3_900_000, 5_200_000])
    assert problems.tolist() == ["", ""]
    assert 35.2 < latitude_deg[0] < 35.3


def test_band_and_northing_must_agree():
    _, latitude_deg, problems = read(["12T"], northing_m=[3_900_000])
    assert problems.tolist() == ["says band T (40 to 48 degrees), but the northing lies at 35.2 degrees"]
    assert np.isnan(latitude_deg).all()


@pytest.mark.parametrize(
    ("zone", "problem"),
    [
        ("12", "names no hemisphere"),
        ("0N", "is no UTM zone; zones run from 1 to 60, with a hemisphere"),
        ("61N", "is no UTM zone; zones run from 1 to 60, with a hemisphere"),
        ("12I", "is no UTM zone; zones run from 1 to 60, with a hemisphere"),
        ("T12", "is no UTM zone; zones run from 1 to 60, with a hemisphere"),
        ("", "has no zone"),
    ],
)
def test_zones_that_are_none(zone, problem):
    longitude_deg, _, problems = read([zone])
    assert problems.tolist() == [problem]
    assert np.isnan(longitude_deg).all()


def test_places_outside_the_grid():
    _, _, problems = read(["12N"] * 3, [-50_000, 5_200_000, 500_000], [5_200_000, 500_000, 1.2e7])
    beyond = "has a place outside its zone: eastings are 0 to 1,000,000 m, northings 0 to 10,000,000 m"
    assert problems.tolist() == [beyond, "has easting and northing that look swapped", beyond]


def test_missing_metres_are_no_problem_of_the_zone():
    longitude_deg, _, problems = read(["12N"], [np.nan], [5e6])
    assert problems.tolist() == [""]
    assert np.isnan(longitude_deg).all()
