"""Contour lines: which heights, where, how many vertices, and that they come back from the page's data."""

import math

import numpy as np
import pytest
from affine import Affine
from numpy.typing import NDArray
from pyproj import Transformer

from geo_scout.model.zones import ReliefGrid
from geo_scout.outputs.map.contours import Contours, contour_interval_m, contours_of

WEST_M, NORTH_M, CELL_M = -13_000_000.0, 5_800_000.0, 40.0


def _grid(elevation_m: NDArray[np.float64], cell_m: float = CELL_M) -> ReliefGrid:
    return ReliefGrid(elevation_m.astype(np.float32), Affine(cell_m, 0, WEST_M, 0, -cell_m, NORTH_M))


def _cone(side: int, top_m: float, fall_m_per_cell: float) -> tuple[ReliefGrid, float]:
    """Return a cone and the column and row of its top."""
    middle = (side - 1) / 2
    row, column = np.mgrid[:side, :side]
    return _grid(top_m - fall_m_per_cell * np.hypot(column - middle, row - middle)), middle


def _lines(contours: Contours) -> dict[int, list[NDArray[np.float64]]]:
    """Return the lines as the page reads them: sums of steps, in cells of the grid."""
    data = contours.data()
    to_mercator = Transformer.from_crs(4326, 3857, always_xy=True)
    found: dict[int, list[NDArray[np.float64]]] = {}
    for level in data["levels"]:  # type: ignore[attr-defined]
        found[level["elevation_m"]] = [
            np.column_stack(
                to_mercator.transform(*(np.cumsum(np.reshape(line, (-1, 2)), axis=0) * data["step_deg"]).T)
            )
            for line in level["lines"]
        ]
    return found


@pytest.mark.parametrize(
    ("low_m", "high_m", "interval_m"),
    # Counted on paper: the least of 1, 2, 5, 10 ... that leaves at most twenty multiples between the two.
    [(900, 2188, 100), (0, 100, 5), (0, 105.0, 5), (0, 106.0, 10), (3, 9, 1), (-40, 60, 5), (1500, 1541, 2),
     (1500, 1520, 1), (200, 8848, 500), (5, 5, 1), (0.2, 0.9, 1)],
)  # fmt: skip
def test_the_interval_is_round_and_gives_no_more_than_twenty_lines(
    low_m: float, high_m: float, interval_m: int
) -> None:
    assert contour_interval_m(low_m, high_m) == interval_m


def test_any_country_with_relief_has_eight_to_twenty_lines() -> None:
    for span_m in np.geomspace(12, 9000, 200):
        interval_m = contour_interval_m(700.0, 700.0 + span_m)
        assert 7 <= sum(1 for h in range(0, 10_000, interval_m) if 700 < h < 700 + span_m) <= 20
        assert str(interval_m).rstrip("0") in ("1", "2", "5")


def test_a_cone_has_circles_at_the_radii_of_its_heights() -> None:
    grid, middle = _cone(301, 1_500.0, 6.0)
    contours = contours_of(grid)
    assert contours is not None
    assert contours.interval_m == 100
    lines = _lines(contours)
    # The corners of the grid lie 150 x sqrt(2) cells from the top.
    assert sorted(lines) == list(range(300, 1_500, 100))
    top = WEST_M + (middle + 0.5) * CELL_M, NORTH_M - (middle + 0.5) * CELL_M
    for elevation_m, found in lines.items():
        radius_cells = (1_500 - elevation_m) / 6
        if radius_cells < 150:
            [circle] = found
            assert (circle[0] == circle[-1]).all()
        for line in found:
            away = np.hypot(line[:, 0] - top[0], line[:, 1] - top[1]) / CELL_M
            # Straight lines between cell middles cut a circle's bend off, coordinates are rounded to a tenth of a cell.
            assert np.abs(away - radius_cells).max() < 0.2


def test_between_vertices_lines_leave_the_true_ones_by_half_a_cell_at_most() -> None:
    grid, middle = _cone(301, 1_500.0, 6.0)
    contours = contours_of(grid)
    assert contours is not None
    top = np.array([WEST_M + (middle + 0.5) * CELL_M, NORTH_M - (middle + 0.5) * CELL_M])
    for elevation_m, found in _lines(contours).items():
        for line in found:
            halves = (line[1:] + line[:-1]) / 2 - top
            away = np.hypot(*halves.T) / CELL_M
            assert np.abs(away - (1_500 - elevation_m) / 6).max() < 0.8
            assert (
                len(line) < 2 * math.pi * (1_500 - elevation_m) / 6 / 2
            )  # and have less than half the cells


def test_every_fifth_is_an_index_contour() -> None:
    grid, _ = _cone(301, 1_520.0, 6.0)
    contours = contours_of(grid)
    assert contours is not None
    levels = {level["elevation_m"]: level["is_index"] for level in contours.data()["levels"]}  # type: ignore[attr-defined]
    assert [height for height, is_index in levels.items() if is_index] == [500, 1000, 1500]


def test_small_summits_and_hollows_keep_their_lines() -> None:
    elevation_m = np.tile(np.linspace(0.0, 990.0, 400), (200, 1))
    elevation_m[50:53, 50:53] += 60.0  # three cells wide
    elevation_m[150:153, 300:303] -= 60.0
    contours = contours_of(_grid(elevation_m))
    assert contours is not None
    assert contours.interval_m == 50
    rings = [line for found in _lines(contours).values() for line in found if (line[0] == line[-1]).all()]
    middles = sorted(
        ((ring[:-1].mean(axis=0) - [WEST_M, NORTH_M]) / CELL_M).round().tolist() for ring in rings
    )
    for column, row in ((51, 51), (301, 151)):
        assert any(abs(x - column) < 3 and abs(-y - row) < 3 for x, y in middles)


def test_flat_ground_and_missing_ground_have_none() -> None:
    assert contours_of(_grid(np.full((30, 30), 400.0))) is None
    assert contours_of(_grid(np.full((30, 30), np.nan))) is None
    assert contours_of(_grid(np.full((1, 30), 400.0))) is None
    assert contours_of(_grid(np.tile(np.linspace(400.1, 400.9, 30), (30, 1)))) is None


def test_a_lake_at_a_round_height_has_no_line_through_it() -> None:
    elevation_m = np.tile(np.maximum(np.linspace(300.0, 990.0, 300), 400.0), (100, 1))
    contours = contours_of(_grid(elevation_m))
    assert contours is not None
    assert 400 not in contours.lines  # the shore of the lowest flat is no contour


def test_no_line_crosses_what_is_not_known() -> None:
    elevation_m = np.tile(np.linspace(0.0, 990.0, 200), (100, 1))
    elevation_m[40:60] = np.nan
    contours = contours_of(_grid(elevation_m))
    assert contours is not None
    for found in _lines(contours).values():
        assert len(found) == 2
        for line in found:
            row = (NORTH_M - line[:, 1]) / CELL_M
            assert (row < 40.1).all() or (row > 59.9).all()


@pytest.mark.parametrize("wrong_m", [-9_999.0, 65_535.0, 3e38])
def test_a_few_wrong_cells_do_not_spread_the_lines(wrong_m: float) -> None:
    elevation_m = np.tile(np.linspace(400.0, 990.0, 200), (200, 1))
    elevation_m[10, 10] = wrong_m
    contours = contours_of(_grid(elevation_m))
    assert contours is not None
    assert contours.interval_m == 50
    assert len(contours.lines) < 40


def test_rough_ground_is_drawn_from_a_coarser_grid_until_it_fits() -> None:
    rough = np.random.default_rng(5).normal(800, 200, (500, 500))
    contours = contours_of(_grid(rough), most_vertices=8_000)
    assert contours is not None
    assert 500 < contours.vertex_count <= 8_000
    assert min(contours.lines) > 400  # averages of many cells are nearer to the mean


@pytest.mark.parametrize(("cell_m", "most_deg"), [(1.2, 1.1e-6), (40.0, 3.6e-5), (1_000.0, 9.0e-4)])
def test_coordinates_are_rounded_to_a_tenth_of_a_cell_or_less(cell_m: float, most_deg: float) -> None:
    contours = contours_of(_grid(np.tile(np.linspace(400.0, 990.0, 60), (60, 1)), cell_m))
    assert contours is not None
    assert most_deg / 10.01 <= contours.step_deg <= most_deg


def test_the_same_grid_gives_the_same_lines() -> None:
    rough = np.random.default_rng(1).normal(800, 50, (80, 80))
    one, other = contours_of(_grid(rough)), contours_of(_grid(rough))
    assert one is not None
    assert other is not None
    assert one.data() == other.data()
