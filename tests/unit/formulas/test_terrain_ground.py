import numpy as np
import pytest
from pyproj import CRS

from geo_scout.formulas.terrain_ground import GroundSteps, ground_gradient, ground_steps, metres_per_degree


def steps(column_east, column_north, row_east, row_north):
    return GroundSteps(
        *(np.array([float(one)]) for one in (45, column_east, column_north, row_east, row_north))
    )


def test_on_a_sphere_a_degree_shrinks_with_the_cosine_of_latitude():
    east_m, north_m = metres_per_degree([0.0, 60.0], semi_major_m=6_371_000.0, eccentricity_squared=0.0)
    np.testing.assert_allclose(east_m, 6_371_000 * np.pi / 180 * np.array([1.0, 0.5]))
    np.testing.assert_allclose(north_m, 6_371_000 * np.pi / 180)


def test_rises_become_a_gradient_on_cells_that_are_no_squares():
    # 3 m over 20 m eastwards; 4 m over 50 m southwards, so it falls to the north... rises to the south.
    east, north = ground_gradient([3.0], [4.0], steps(20, 0, 0, -50))
    assert (east[0], north[0]) == pytest.approx((0.15, -0.08))


def test_a_grid_that_is_turned_gives_the_true_directions():
    # Columns lead south-east, rows south-west, 10 m each way; the ground rises by 0.2 to the east only.
    turned = steps(10, -10, -10, -10)
    east, north = ground_gradient([2.0], [-2.0], turned)
    assert (east[0], north[0]) == pytest.approx((0.2, 0.0))
    assert turned.column_m[0] == turned.row_m[0] == pytest.approx(np.hypot(10, 10))


def test_missing_rises_and_places_have_no_gradient():
    for rises, where in (
        ((np.nan, 1.0), steps(10, 0, 0, -10)),
        ((1.0, np.nan), steps(10, 0, 0, -10)),
        ((1.0, 1.0), steps(np.nan, 0, 0, -10)),
        ((1.0, 1.0), steps(0, 0, 0, 0)),
    ):
        assert np.isnan(ground_gradient([rises[0]], [rises[1]], where)).all()


def test_a_place_off_the_map_has_no_steps():
    # The orthographic map shows half of the Earth: its corner lies in the sky.
    sky = ground_steps([0.0, 6.3e6], [0.0, 6.3e6], 30.0, 30.0, CRS.from_proj4("+proj=ortho +lat_0=45"))
    assert sky.column_m[0] == pytest.approx(30.0, rel=1e-6)
    assert np.isnan([sky.latitude_deg[1], sky.column_m[1], sky.row_m[1]]).all()


@pytest.mark.parametrize("longitude", [180.0, -180.0, 179.9999])
def test_the_antimeridian_is_no_long_way_round(longitude):
    across = ground_steps([longitude], [10.0], 0.001, 0.001, CRS.from_epsg(4326))
    expected_m, _ = metres_per_degree(10.0)
    assert across.column_m[0] == pytest.approx(0.001 * float(expected_m), rel=1e-6)
