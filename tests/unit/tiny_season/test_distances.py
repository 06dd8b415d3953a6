"""A hundred patches on ten by ten kilometres, their distance from one crew base done in the head.

Squares of 200 m lie in the middle of every cell of the tiny season's grid; the base is in the middle of
column 7, row 2. So the nearest edge lies |columns| - 0.1 km east or west and |rows| - 0.1 km north or south
of the base (0 in its own column or row), and the kilometres are the hypotenuse, over the scale 0.9996.
"""

import geopandas as gpd
import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from geo_scout.formulas.geodesy import nearest_edge, working_crs

UTM = 32612
WEST_M, NORTH_M = 500_000.0, 5_210_000.0
BASE_COLUMN, BASE_ROW = 7, 2
HALF_KM = 0.1


def centre_m(column, row):
    return WEST_M + 1000 * (column + 0.5), NORTH_M - 1000 * (row + 0.5)


@pytest.fixture(scope="module")
def measured_km():
    """Return the program's distances, (rows, columns), as the sites room takes them."""
    row, column = (one.ravel() for one in np.mgrid[:10, :10])
    squares = [
        shapely.Point(centre_m(c, r)).buffer(100.0, cap_style="square")
        for c, r in zip(column, row, strict=True)
    ]
    plane = working_crs(-111.0, 47.0)
    patches = gpd.GeoSeries(squares, crs=UTM).to_crs(plane)
    base = gpd.GeoSeries([shapely.Point(centre_m(BASE_COLUMN, BASE_ROW))], crs=UTM).to_crs(plane)
    nearest, distance_km = nearest_edge(patches.to_numpy(), base.to_numpy(), plane)
    assert set(nearest) == {0}
    return distance_km.reshape(10, 10)


def gaps_km():
    """Return how far east-west and north-south the nearest edge of each cell's patch lies, on the grid."""
    row, column = np.mgrid[:10, :10]
    east = np.maximum(np.abs(column - BASE_COLUMN) - HALF_KM, 0)
    north = np.maximum(np.abs(row - BASE_ROW) - HALF_KM, 0)
    return east, north


def test_a_few_cells_in_the_head(measured_km):
    # 3 columns and 4 rows away: sides 2.9 and 3.9; the next cell east: 0.9; the base's own patch: 0.
    assert measured_km[6, 4] == pytest.approx(np.sqrt(2.9**2 + 3.9**2) / 0.9996, rel=1e-5)
    assert measured_km[2, 8] == pytest.approx(0.9 / 0.9996, rel=1e-5)
    assert measured_km[2, 7] == 0.0


def test_every_cell_against_the_hypotenuse(measured_km):
    """The scale of the grid changes by 1.2e-6 over these ten kilometres."""
    east, north = gaps_km()
    np.testing.assert_allclose(measured_km, np.hypot(east, north) / 0.9996, rtol=5e-6, atol=1e-9)


def test_every_cell_against_geographiclib(measured_km):
    """Between the base and the nearest point of the grid's own plane.

    The working plane is turned against the grid by the convergence, at most 0.1 degrees here, which moves
    the nearest point of a facing side by 0.1 % of the distance and the distance by half its square: 1e-6.
    """
    east, north = gaps_km()
    row, column = np.mgrid[:10, :10]
    to_degrees = Transformer.from_crs(UTM, 4326, always_xy=True)
    base_m = centre_m(BASE_COLUMN, BASE_ROW)
    longitude_deg, latitude_deg = to_degrees.transform(*base_m)
    for index in np.ndindex(10, 10):
        point_m = (
            base_m[0] + 1000 * east[index] * np.sign(column[index] - BASE_COLUMN),
            base_m[1] - 1000 * north[index] * np.sign(row[index] - BASE_ROW),
        )
        there = to_degrees.transform(*point_m)
        line = Geodesic.WGS84.Inverse(latitude_deg, longitude_deg, there[1], there[0])
        assert measured_km[index] == pytest.approx(line["s12"] / 1000, rel=2e-6, abs=1e-9)
