"""Cell sizes on the ground against geographiclib and the factors of map projections."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pyproj import CRS, Proj, Transformer

from geo_scout.formulas.terrain_ground import ground_steps, metres_per_degree

# Projections of every kind, in metres and feet, each with a place off its centre; Web Mercator at 55 N stretches
# everything by 1.7, and in the west of the Albers map of the United States grid north is 15 degrees off.
PLACES = [
    (3857, -110.0, 55.0),
    (32616, -84.2, 36.4),
    (5070, -121.0, 44.0),
    (2225, -123.5, 40.5),  # California zone 1, US survey feet
    (3031, 60.0, -75.0),  # polar stereographic
    (2193, 168.0, -45.5),  # New Zealand
    (2154, -4.0, 48.4),  # France
]


@pytest.mark.parametrize("latitude", [0.0, 12.5, 36.0, 45.0, -45.0, 60.0, 89.0])
def test_the_length_of_a_degree(latitude):
    # geographiclib over a thousandth of a degree; 1e-9 is what the chord of so short an arc differs by.
    east_m, north_m = metres_per_degree(latitude)
    along = Geodesic.WGS84.Inverse(latitude - 0.0005, 0.0, latitude + 0.0005, 0.0)["s12"] * 1000
    assert float(north_m) == pytest.approx(along, rel=1e-8)
    across = Geodesic.WGS84.Inverse(latitude, -0.0005, latitude, 0.0005)["s12"] * 1000
    assert float(east_m) == pytest.approx(across, rel=1e-8)


def test_lengths_of_a_degree_as_printed():
    # National Geospatial-Intelligence Agency, length of a degree calculator (WGS84), at 45 degrees; from memory.
    east_m, north_m = metres_per_degree(45.0)
    assert (round(float(north_m), 1), round(float(east_m), 1)) == (111_131.8, 78_846.8)


@pytest.mark.parametrize(("code", "longitude", "latitude"), PLACES)
def test_steps_of_projected_grids(code, longitude, latitude):
    """pyproj gives the four derivatives of a projection; solved for a cell, they are its steps.

    They differ by what 16 cells, over which our steps are taken, are not straight: below 1e-6.
    """
    crs = CRS.from_epsg(code)
    to_map = Transformer.from_crs(crs.geodetic_crs, crs, always_xy=True)
    easting, northing = to_map.transform(longitude, latitude)
    cell, unit_m = 30.0, crs.axis_info[0].unit_conversion_factor
    steps = ground_steps([easting], [northing], cell, cell, crs)
    factors = Proj(crs).get_factors(longitude, latitude)
    geod = crs.get_geod()
    jacobian = (
        geod.a / unit_m * np.array([[factors.dx_dlam, factors.dx_dphi], [factors.dy_dlam, factors.dy_dphi]])
    )
    lam, phi = np.linalg.solve(jacobian, np.array([[cell, 0.0], [0.0, -cell]]))
    east_m, north_m = (np.degrees(1.0) * one for one in metres_per_degree(latitude, geod.a, geod.es))
    ours = [steps.column_east_m[0], steps.row_east_m[0], steps.column_north_m[0], steps.row_north_m[0]]
    np.testing.assert_allclose(ours, [*(lam * east_m), *(phi * north_m)], rtol=1e-6, atol=1e-6)
    assert steps.latitude_deg[0] == pytest.approx(latitude, abs=1e-6)


def test_steps_of_a_grid_in_grads():
    # NTF (Paris) counts from a meridian of Paris, in grads; geographiclib measures on its ellipsoid, Clarke 1880.
    crs = CRS.from_epsg(4807)
    geod = crs.get_geod()
    ellipsoid = Geodesic(geod.a, geod.f)
    steps = ground_steps([2.0], [52.0], 0.01, 0.02, crs)
    half = 0.9 * 0.01 / 2
    across = ellipsoid.Inverse(46.8, -half, 46.8, half)["s12"]
    along = ellipsoid.Inverse(46.8 - 2 * half, 0.0, 46.8 + 2 * half, 0.0)["s12"]
    assert steps.column_m[0] == pytest.approx(across, rel=1e-6)
    assert steps.row_m[0] == pytest.approx(along, rel=1e-6)
    assert steps.latitude_deg[0] == pytest.approx(46.8, abs=1e-9)
