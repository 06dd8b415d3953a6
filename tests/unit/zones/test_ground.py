import numpy as np
import pytest
from pyproj import CRS
from scipy.ndimage import map_coordinates

from geo_scout.formulas.terrain_ground import ground_steps
from geo_scout.zones.ground import between_nodes, steps_at

PARTS = ("latitude_deg", "column_east_m", "column_north_m", "row_east_m", "row_north_m")


@pytest.mark.parametrize(
    ("code", "west", "north", "cell", "off"),
    [
        (5070, -2_000_000.0, 2_600_000.0, 30.0, 1e-8),
        (4326, -110.0, 60.0, 1 / 1200, 1e-6),
        (3857, -1.2e7, 7.6e6, 100.0, 1e-6),
    ],
)
def test_between_the_nodes_steps_are_all_but_exact(files, tmp_path, code, west, north, cell, off):
    raster = files.write_raster(
        tmp_path, np.zeros((70, 90)), west=west, north=north, cell=cell, crs=CRS.from_epsg(code)
    )
    rows, columns = np.array([0, 15, 31, 32, 69]), np.array([16, 0, 89, 48, 33])
    ours = steps_at(raster, rows, columns)
    exact = ground_steps(
        west + (columns + 0.5) * cell, north - (rows + 0.5) * cell, cell, cell, CRS.from_epsg(code)
    )
    for part in PARTS:
        np.testing.assert_allclose(getattr(ours, part), getattr(exact, part), rtol=off, atol=1e-9)


def test_the_answer_for_a_cell_does_not_depend_on_the_others_asked_for(files, tmp_path):
    raster = files.write_raster(
        tmp_path, np.zeros((70, 90)), west=-110.0, north=47.0, cell=0.01, crs=files.DEGREES
    )
    alone = steps_at(raster, np.array([40]), np.array([50]))
    among = steps_at(raster, np.array([3, 40, 69]), np.array([89, 50, 0]))
    assert [getattr(alone, part)[0] for part in PARTS] == [getattr(among, part)[1] for part in PARTS]


def test_between_nodes_against_scipy():
    generator = np.random.default_rng(32)
    parts = generator.normal(size=(2, 5, 7))
    down, along = generator.uniform(0, 3.999, 200), generator.uniform(0, 5.999, 200)
    found = between_nodes(parts.reshape(2, -1), (5, 7), down, along)
    expected = [map_coordinates(part, [down, along], order=1) for part in parts]
    np.testing.assert_allclose(found, expected, rtol=1e-12, atol=1e-12)
