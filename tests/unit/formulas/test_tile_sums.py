"""Sums in a window, on points a person can count."""

import numpy as np
import pytest

from geo_scout.formulas import tile_sums
from geo_scout.formulas.tile_sums import sum_within


def test_points_far_apart_make_an_exact_circle():
    # tiles are 100 m wide, points 300 m apart: within 800 m of 0 lie -600, -300, 0, 300, 600
    east = np.arange(-10, 11) * 300.0
    points = np.column_stack([east, np.zeros(21)])
    ones = np.ones((21, 1))
    found = sum_within(np.array([[0.0, 0.0], [-3000.0, 0.0], [9e5, 0.0]]), points, ones, east, 800.0)
    assert found.sums[:, 0].tolist() == [5.0, 3.0, 0.0]
    assert found.least.tolist()[:2] == [-600.0, -3000.0]
    assert found.most.tolist()[:2] == [600.0, -2400.0]
    assert np.isnan([found.least[2], found.most[2]]).all()


def test_close_points_count_together_by_their_mean_position():
    # side 100 m: 10 and 90 share the tile 0-100 with mean 50; 110 and 150 that of 100-200 with mean 130
    points = np.array([[10.0, 5.0], [90.0, 5.0], [110.0, 5.0], [150.0, 5.0]])
    quantities = np.array([[1.0], [2.0], [4.0], [8.0]])
    found = sum_within(np.array([[-700.0, 5.0]]), points, quantities, np.array([1.0, 9.0, 2.0, 3.0]), 800.0)
    assert found.sums[0, 0] == 3.0
    assert (found.least[0], found.most[0]) == (1.0, 9.0)


def test_blocks_and_missing_places_change_nothing(monkeypatch):
    generator = np.random.default_rng(6)
    points, places = generator.uniform(0, 5e4, (500, 2)), generator.uniform(0, 5e4, (30, 2))
    ranked = generator.normal(size=500)
    at_once = sum_within(places, points, ranked[:, None], ranked, 9_000.0)
    with_gaps = np.vstack([places, [[np.nan, 1.0]]])
    monkeypatch.setattr(tile_sums, "_PLACES_PER_BLOCK", 7)
    in_blocks = sum_within(with_gaps, points, ranked[:, None], ranked, 9_000.0)
    assert in_blocks.sums[:30] == pytest.approx(at_once.sums, rel=1e-12)
    assert in_blocks.least[:30].tolist() == at_once.least.tolist()
    assert in_blocks.sums[30].tolist() == [0.0]
    assert np.isnan(in_blocks.most[30])


def test_no_places_and_no_points():
    none, one = np.zeros((0, 2)), np.zeros((1, 2))
    assert sum_within(none, one, np.ones((1, 3)), np.ones(1), 10.0).sums.shape == (0, 3)
    empty = sum_within(one, none, np.ones((0, 3)), np.ones(0), 10.0)
    assert empty.sums.tolist() == [[0.0, 0.0, 0.0]]
    assert np.isnan(empty.least[0])
