"""Slope, aspect and shading against worked examples and another program."""

import numpy as np
import pytest
from matplotlib.colors import LightSource

from geo_scout.formulas.terrain import aspect_deg, hillshade, horn_gradient, slope_deg

# Windows of nine cells and the slope and aspect of the middle one. The first two are worked examples of a GIS
# vendor's public manual, the third of a university course (UNLV), all for Horn 1981, IEEE 69: 14-47, and
# re-computed with the printed formula to five decimals; the fourth is a plane that falls south by 1 in 10,
# whose slope is arctan 0.1.
EXAMPLES = [
    ([[50, 45, 50], [30, 30, 30], [8, 10, 10]], 5.0, 75.25766, 180.75385),
    ([[101, 92, 85], [101, 92, 85], [101, 91, 84]], 10.0, 39.1237, 92.64255),
    ([[42, 45, 47], [40, 44, 49], [44, 48, 52]], 10.0, 22.79182, 292.75098),
    ([[3, 3, 3], [2, 2, 2], [1, 1, 1]], 10.0, 5.71059, 180.0),
]


@pytest.mark.parametrize(("window", "cell_m", "slope", "aspect"), EXAMPLES)
def test_worked_examples(window, cell_m, slope, aspect):
    # Half a unit of the last digit given.
    dz_dx, dz_dy = horn_gradient(window, cell_m, cell_m)
    assert slope_deg(dz_dx, dz_dy)[1, 1] == pytest.approx(slope, abs=6e-6)
    assert aspect_deg(dz_dx, dz_dy)[1, 1] == pytest.approx(aspect, abs=6e-6)


def test_gradient_of_the_first_example():
    # The manual prints 0.05 eastwards and -3.8 southwards, exact.
    dz_dx, dz_dy = horn_gradient(EXAMPLES[0][0], 5.0, 5.0)
    assert (dz_dx[1, 1], dz_dy[1, 1]) == pytest.approx((0.05, 3.8), rel=1e-12)


@pytest.mark.parametrize(("azimuth_deg", "altitude_deg"), [(315.0, 45.0), (100.0, 20.0), (200.0, 70.0)])
def test_shading_against_matplotlib(azimuth_deg, altitude_deg):
    # matplotlib 3.11 LightSource.shade_normals stretches its cosines to 0-1, so ours are stretched the
    # same way (on ground gentle enough that none is cut at 0); only rounding separates the two.
    generator = np.random.default_rng(1981)
    dz_dx, dz_dy = generator.uniform(-0.15, 0.15, (2, 12, 9))
    normals = np.stack([-dz_dx, -dz_dy, np.ones_like(dz_dx)], axis=-1)
    normals /= np.linalg.norm(normals, axis=-1, keepdims=True)
    expected = LightSource(azimuth_deg, altitude_deg).shade_normals(normals)
    ours = hillshade(dz_dx, dz_dy, azimuth_deg, altitude_deg)
    assert ours.min() > 0
    np.testing.assert_allclose((ours - ours.min()) / (ours.max() - ours.min()), expected, atol=1e-12)


@pytest.mark.parametrize(
    ("slope", "aspect"), [(0.5, 0.0), (5.0, 30.0), (20.0, 123.0), (45.0, 225.0), (80.0, 359.0)]
)
def test_slope_and_aspect_of_a_plane(slope, aspect):
    # Geometry: a plane that falls so steeply towards an azimuth; a window of three cells is exact on it.
    north, east = -12.0 * np.arange(9)[:, None], 30.0 * np.arange(7)
    towards = np.radians(aspect)
    elevation = 700.0 - np.tan(np.radians(slope)) * (east * np.sin(towards) + north * np.cos(towards))
    dz_dx, dz_dy = horn_gradient(elevation, 30.0, 12.0)
    np.testing.assert_allclose(slope_deg(dz_dx, dz_dy)[1:-1, 1:-1], slope, rtol=1e-9)
    turned = (aspect_deg(dz_dx, dz_dy)[1:-1, 1:-1] - aspect + 180) % 360 - 180
    np.testing.assert_allclose(turned, 0.0, atol=1e-8)


def test_slope_and_aspect_of_a_cone():
    # Geometry: a cone of 1 in 2 has the slope arctan 0.5 everywhere and falls away from its tip. A window
    # of three cells is exact on it only in the limit; 40 cells from the tip the difference is below 0.1
    # deg.
    rows, columns = np.indices((101, 101)) - 50
    elevation = -0.5 * np.hypot(rows, columns) * 10.0
    dz_dx, dz_dy = horn_gradient(elevation, 10.0, 10.0)
    far = (np.hypot(rows, columns) > 40) & (np.abs(rows) < 50) & (np.abs(columns) < 50)
    away = np.degrees(np.arctan2(columns, -rows)) % 360
    assert slope_deg(dz_dx, dz_dy)[far] == pytest.approx(np.degrees(np.arctan(0.5)), abs=0.1)
    turned = (aspect_deg(dz_dx, dz_dy)[far] - away[far] + 180) % 360 - 180
    assert np.abs(turned).max() < 0.1
