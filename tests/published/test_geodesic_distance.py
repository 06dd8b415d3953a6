"""Geodesic distances against geographiclib, another implementation of Karney (2013)."""

import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from geo_scout.formulas.geodesy import edge_distance_km, geodesic_km, working_crs


def geographiclib_km(longitude1_deg, latitude1_deg, longitude2_deg, latitude2_deg):
    return Geodesic.WGS84.Inverse(latitude1_deg, longitude1_deg, latitude2_deg, longitude2_deg)["s12"] / 1000


def test_random_pairs_over_the_whole_earth():
    # Both programs state an accuracy of about 15 nanometres; a micrometre leaves room for other compilers.
    generator = np.random.default_rng(2013)
    longitudes, latitudes = generator.uniform(-180, 180, (2, 300)), generator.uniform(-90, 90, (2, 300))
    latitudes[1, :50], longitudes[1, :50] = -latitudes[0, :50] + 1e-3, longitudes[0, :50] + 179.9
    latitudes[1, 50:100] = latitudes[0, 50:100] + 1e-6
    longitudes[1, 50:100] = longitudes[0, 50:100]
    expected = [
        geographiclib_km(*pair)
        for pair in zip(longitudes[0], latitudes[0], longitudes[1], latitudes[1], strict=True)
    ]
    found = geodesic_km(longitudes[0], latitudes[0], longitudes[1], latitudes[1])
    np.testing.assert_allclose(found, expected, rtol=0, atol=1e-9)


def test_quarter_meridian():
    # Karney 2013, section 2, and Rapp 1991: the WGS84 quarter meridian is 10,001,965.729 m, printed to a
    # millimetre (from memory); half a unit of the last digit is allowed.
    assert geodesic_km(12.0, 0.0, 12.0, 90.0) * 1000 == pytest.approx(10_001_965.729, abs=0.0006)


def test_edge_distance_against_the_least_geodesic_between_densified_outlines():
    # The least over pairs of outline points (at most 20 m apart) can only be too long: the nearest point
    # lies at most 10 m from one of them, which over the 1.2 km here adds at most hypot(1200, 10) - 1200 =
    # 0.05 m; the plane's choice of points, 30 km from the projection's centre, may add a millimetre.
    crs = working_crs([-117.5, -116.5], [46.5, 47.5])
    to_lonlat = Transformer.from_crs(crs, 4326, always_xy=True)
    patch = shapely.Polygon([(20_000, 20_000), (20_400, 20_100), (20_300, 20_500)])
    release = shapely.Polygon([(21_500, 20_900), (21_900, 20_700), (21_700, 21_400)])
    outlines = [shapely.get_coordinates(shapely.segmentize(shape, 20.0)) for shape in (patch, release)]
    pairs = [
        (*to_lonlat.transform(*start), *to_lonlat.transform(*end))
        for start in outlines[0]
        for end in outlines[1]
    ]
    least_km = min(geographiclib_km(*pair) for pair in pairs)
    found_km = float(edge_distance_km([patch], [release], crs)[0])
    assert least_km - 0.05e-3 <= found_km <= least_km + 1e-6
