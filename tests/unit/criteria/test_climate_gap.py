import numpy as np
import pytest

from geo_scout.criteria import climate_gap

# Forty cells whose two variables do not vary together: variances 4 x 40 / 39 and 1 x 40 / 39, covariance 0.
CELLS = np.array([[first, second] for first in (-2.0, 2.0) for second in (-1.0, 1.0)] * 10)
STRETCH = 40 / 39


def measure(site, population, cells=CELLS, names=("Old ground", "New ground"), variables=("bio05", "bio06")):
    return climate_gap.measure(
        {
            "site_climate": np.array(site, dtype=float).reshape(-1, len(variables)),
            "population_climate": np.array(population, dtype=float).reshape(-1, len(variables)),
            "climate_cells": np.array(cells, dtype=float).reshape(-1, len(variables)),
            "climate_variables": np.array(variables, dtype=object),
            "population_names": np.array(names[: len(population)], dtype=object),
        }
    )


def test_the_gap_by_hand():
    """(4, 3) from (0, 0): D squared = (16 / 4 + 9 / 1) / stretch = 13 / stretch; gap = D / sqrt 2."""
    measured = measure([[4.0, 3.0]], [[0.0, 0.0]])
    distance = np.sqrt(13 / STRETCH)
    assert measured.value[0] == pytest.approx(distance / np.sqrt(2), rel=1e-12)
    assert measured.details["climate_gap_distance"][0] == pytest.approx(distance, rel=1e-12)
    assert measured.note[0] == (
        "from Old ground; most apart: mean daily minimum of the coldest month 3.0 degC higher"
    )
    assert climate_gap.describe(measured, 0) == (
        "climate gap 2.52 (regional distance) "
        "from Old ground; most apart: mean daily minimum of the coldest month 3.0 degC higher"
    )


def test_the_best_matching_population_counts_and_all_are_reported():
    measured = measure([[4.0, 3.0], [0.5, 0.0]], [[0.0, 0.0], [4.0, 3.0]])
    assert measured.details["climate_gap_population"].tolist() == ["New ground", "Old ground"]
    assert measured.value[0] == 0.0
    assert measured.note[0] == "from New ground: the same climate"
    for name, value in (
        ("kind", "regional"), ("variables", 2), ("cells", 40), ("populations", 2)
    ):  # fmt: skip
        assert measured.details[f"climate_gap_{name}"].tolist() == [value, value]


def test_a_population_without_a_climate_does_not_count():
    measured = measure([[0.0, 0.0]], [[0.0, np.nan], [4.0, 3.0]])
    assert measured.details["climate_gap_population"].tolist() == ["New ground"]
    assert measured.details["climate_gap_populations"].tolist() == [1]


def test_a_site_without_a_climate_is_missing_and_the_others_are_not():
    measured = measure([[np.nan, 1.0], [4.0, 3.0]], [[0.0, 0.0]])
    assert measured.known.tolist() == [False, True]
    assert np.isnan(measured.value[0])
    assert measured.details["climate_gap_population"].tolist() == ["", "Old ground"]
    assert climate_gap.describe(measured, 0) == "climate gap not scored: no climate value here"


@pytest.mark.parametrize(
    ("site", "population", "cells", "reason"),
    [
        ([[np.nan, np.nan]], [[0.0, 0.0]], CELLS, "no climate layer has values here"),
        ([[1.0, 1.0]], [], CELLS, "no climate evidence: no confirmed or known population has a climate"),
        (
            [[1.0, 1.0]],
            [[0.0, np.nan]],
            CELLS,
            "no climate evidence: no confirmed or known population has a climate",
        ),
        (
            [[1.0, 1.0]],
            [[0.0, 0.0]],
            CELLS[:19],
            "19 climate cells hold the host and 2 variables need 20; "
            "use fewer variables or a wider climate reference",
        ),
        (
            [[1.0, 1.0]],
            [[0.0, 0.0]],
            CELLS @ [[1.0, 2.0], [0.0, 0.0]],
            "bio05, bio06 cannot be told apart in these climate cells; leave one out",
        ),
    ],
)
def test_nothing_is_scored_without_evidence_and_the_reason_is_said(site, population, cells, reason):
    measured = measure(site, population, cells)
    assert not measured.known.any()
    assert np.isnan(measured.value).all()
    assert climate_gap.describe(measured, 0) == f"climate gap not scored: {reason}"
    assert measured.details["climate_gap_kind"].tolist() == ["regional"]


def test_twenty_cells_are_enough_for_two_variables():
    assert measure([[1.0, 1.0]], [[0.0, 0.0]], CELLS[:20]).known.all()


def test_cells_with_a_missing_variable_do_not_count():
    cells = CELLS.copy()
    cells[:21, 0] = np.nan
    assert measure([[1.0, 1.0]], [[0.0, 0.0]], cells).note[0].startswith("19 climate cells")


def test_a_correlated_variable_that_offsets_is_said_to():
    """S = [[1, 0.9], [0.9, 1]] x stretch, difference (2, 1).

    The shares go as 2 (2 - 0.9) and 1 (1 - 1.8): 2.2 and -0.8 of 1.4, that is 157 % and -57 %.
    """
    root = np.linalg.cholesky([[1.0, 0.9], [0.9, 1.0]])
    measured = measure([[2.0, 1.0]], [[0.0, 0.0]], (CELLS / [2.0, 1.0]) @ root.T)
    assert measured.note[0] == (
        "from Old ground; most apart: mean daily maximum of the warmest month 2.0 degC higher, "
        "partly offset by mean daily minimum of the coldest month"
    )


def test_no_sites_at_all():
    assert len(measure([], [[0.0, 0.0]]).value) == 0
