"""The ends between which measures are drawn, by hand, and no draw that passes them."""

import numpy as np
import pytest

from geo_scout.model.doubts import ClimateDoubt
from geo_scout.ranking import score_sites
from geo_scout.ranking.drawn_ranges import drawn_ranges
from geo_scout.ranking.drawn_sites import DrawnSites
from tests import robust_sites as by_hand

GAP = np.array([[1.0, 2.0, 3.0], [1.5, 1.25, 1.5]])


@pytest.fixture
def case():
    """Two sites: a cover class and ten years, a small patch that is full, loose finds, and lapse rates."""
    area = by_hand.area([2, 4], [3, 4], [5, 4], gross=[100.0, 4.2], change_log=[np.log(2.0), np.log(1.1)])
    unsure = by_hand.doubts(
        2,
        area=area,
        climate=ClimateDoubt(np.array([0.5, 0.0]), (), by_hand.NO_ERRORS, GAP),
        population_m=np.array([0.0, 500.0]),
    )
    measures = {
        "host_area": by_hand.measure("host_area", [3, 4], [2, 4], [5, 4]),
        "host_cover": by_hand.measure("host_cover", [3, 100 * 4 / 4.2]),
        "population_distance": by_hand.measure("population_distance", [2.0, 0.2]),
        "climate_gap": by_hand.measure("climate_gap", [2.0, 1.25]),
        "crew_distance": by_hand.measure("crew_distance", [3.0, np.nan], [3.0, 1.0], [3.0, 9.0]),
    }
    return unsure, by_hand.criteria(**dict.fromkeys(measures, 1)), measures


def test_they_are_those_worked_out_by_hand(case):
    found = {name: np.transpose(ends).round(9).tolist() for name, ends in drawn_ranges(*case).items()}
    assert found == {
        "host_area": [[1.0, 10.0], [round(4 / 1.1, 9), 4.2]],
        "host_cover": [[1.0, 10.0], [round(100 / 1.1 / 1.05, 9), 100.0]],
        "population_distance": [[2.0, 2.0], [0.0, 0.7]],
        "climate_gap": [[1.0, 3.0], [1.25, 1.5]],
        "crew_distance": [[3.0, 3.0], [1.0, 9.0]],
    }


def test_the_infested_area_is_there_though_no_criterion_asks_for_it(case):
    unsure, _, measures = case
    only = {"crew_distance": measures["crew_distance"]}
    assert list(drawn_ranges(unsure, by_hand.criteria(crew_distance=1), only)) == [
        "host_area",
        "crew_distance",
    ]


def test_no_draw_passes_them_and_draws_come_near_them(case):
    unsure, chosen, measures = case
    sites = DrawnSites(unsure, chosen, measures, score_sites(chosen, measures), np.arange(2), 1, 4_000)
    values = sites.values(0, 4_000)
    for column, (name, (low, high)) in enumerate(drawn_ranges(*case).items()):
        curve = by_hand.CURVES[name]
        share = values[:, :, column] if curve["shape"] == "rising" else 1 - values[:, :, column]
        drawn = share * curve["to"]
        assert (drawn >= low - 1e-9).all(), name
        assert (drawn <= high + 1e-9).all(), name
        assert (drawn.max(axis=0) - drawn.min(axis=0) >= 0.75 * (high - low) - 1e-9).all(), name
