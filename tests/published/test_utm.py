"""UTM against Krueger's series, written here on its own, which is first held against Snyder's example.

The series is that of Krueger 1912 in the third flattening n to n^4 (as printed in Karney, C.F.F. 2011,
Transverse Mercator with an accuracy of a few nanometers, Journal of Geodesy 85: 475-485, equation 35; the
coefficients are from memory). Terms in n^5 are below 1e-5 m within a zone.
"""

import numpy as np
import pytest

from geo_scout.formulas.geodesy import utm

WGS84 = (6_378_137.0, 1 / 298.257223563)
CLARKE_1866 = (6_378_206.4, 1 - 6_356_583.8 / 6_378_206.4)


def krueger(longitude_deg, latitude_deg, central_deg, ellipsoid):
    axis_m, flattening = ellipsoid
    n = flattening / (2 - flattening)
    eccentricity = np.sqrt(flattening * (2 - flattening))
    alphas = (
        n / 2 - 2 * n**2 / 3 + 5 * n**3 / 16 + 41 * n**4 / 180,
        13 * n**2 / 48 - 3 * n**3 / 5 + 557 * n**4 / 1440,
        61 * n**3 / 240 - 103 * n**4 / 140,
        49561 * n**4 / 161280,
    )
    rectifying_m = axis_m / (1 + n) * (1 + n**2 / 4 + n**4 / 64)
    sine, difference = np.sin(np.radians(latitude_deg)), np.radians(longitude_deg - central_deg)
    tangent = np.sinh(np.arctanh(sine) - eccentricity * np.arctanh(eccentricity * sine))
    sphere_north = np.arctan2(tangent, np.cos(difference))
    sphere_east = np.arctanh(np.sin(difference) / np.hypot(1, tangent))
    north, east = sphere_north, sphere_east
    for order, alpha in zip((2, 4, 6, 8), alphas, strict=True):
        north = north + alpha * np.sin(order * sphere_north) * np.cosh(order * sphere_east)
        east = east + alpha * np.cos(order * sphere_north) * np.sinh(order * sphere_east)
    return 0.9996 * rectifying_m * east, 0.9996 * rectifying_m * north


def test_the_series_itself_gives_the_example_of_snyder_1987():
    # Snyder 1987, USGS Professional Paper 1395, numerical examples of the transverse Mercator: 40 30 N,
    # 73 30 W, zone 18 of Clarke 1866 gives x = 127,106.5 m and y = 4,484,124.4 m (from memory); printed
    # to 0.1 m.
    assert krueger(-73.5, 40.5, -75.0, CLARKE_1866) == pytest.approx((127_106.5, 4_484_124.4), abs=0.06)


def test_positions_over_the_whole_grid_against_the_series():
    # A tenth of a millimetre: the series' own cut-off at the rim of the wide zones of Svalbard.
    generator = np.random.default_rng(1912)
    longitude, latitude = generator.uniform(-180, 180, 2_000), generator.uniform(-80, 84, 2_000)
    zone, easting_m, northing_m = utm(longitude, latitude)
    central = np.array([int(text[:-1]) * 6 - 183 for text in zone])
    expected_east, expected_north = krueger(longitude, latitude, central, WGS84)
    assert set(zone[latitude < 0].astype("<U3").tolist()) <= {f"{number}S" for number in range(1, 61)}
    np.testing.assert_allclose(easting_m, expected_east + 500_000, rtol=0, atol=1e-4)
    np.testing.assert_allclose(northing_m, expected_north + np.where(latitude < 0, 1e7, 0), rtol=0, atol=1e-4)


def test_a_grid_reference_of_another_program():
    # mgrs 1.6.0 prints 36.58 N 84.2 W as 16SGF5052551931, whole metres cut off: 750,525 E and 4,051,931 N.
    zone, easting_m, northing_m = utm(-84.2, 36.58)
    assert (str(zone), int(easting_m), int(northing_m)) == ("16N", 750_525, 4_051_931)
