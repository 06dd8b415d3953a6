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
            "population_site_ids": np.array(["", "A-2"][: len(population)], dtype=object),
            "population_years": np.full(len(population), None, dtype=object),
            "climate_gap_kind": np.array(["regional"], dtype=object),
        }
    )


def test_the_gap_by_hand():
    """(4, 3) from (0, 0): D squared = (16 / 4 + 9 / 1) / stretch = 13 / stretch; gap = D / sqrt 2."""
    measured = measure([[4.0, 3.0]], [[0.0, 0.0]])
    distance = np.sqrt(13 / STRETCH)
    assert measured.value[0] == pytest.approx(distance / np.sqrt(2), rel=1e-12)
    assert measured.details["climate_gap_distance"][0] == pytest.approx(distance, rel=1e-12)
    assert measured.note[0] == (
        "from Old ground: winters 3.0 degC milder; that drives the mismatch (69 % of it)"
    )
    assert climate_gap.describe(measured, 0) == (
        "climate gap 2.52 (regional distance) "
        "from Old ground: winters 3.0 degC milder; that drives the mismatch (69 % of it)"
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
            "bio05, bio06 cannot be told apart in the reference: each follows from the others; leave one out",
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
        "from Old ground: the warmest month 2.0 degC hotter; that drives the mismatch, "
        "partly offset by winters 1.0 degC milder"
    )


def test_no_sites_at_all():
    assert len(measure([], [[0.0, 0.0]]).value) == 0


def test_the_best_source_is_the_best_population_in_a_patch_of_the_season():
    """(0.5, 0) is nearest to the old ground, which lies in no patch; the other one, A-2, can supply it."""
    measured = measure([[0.5, 0.0]], [[0.0, 0.0], [4.0, 3.0]])
    assert measured.details["climate_gap_population"].tolist() == ["Old ground"]
    assert measured.details["best_source_site_id"].tolist() == ["A-2"]
    distance = np.sqrt((3.5**2 / 4 + 3.0**2) / STRETCH)
    assert measured.details["best_source_climate_gap"][0] == pytest.approx(distance / np.sqrt(2), rel=1e-12)


def test_a_climate_outside_the_known_range_is_named_where_populations_are_too_few_to_score():
    measured = measure([[4.5, 1.0], [2.0, 1.0]], [[0.0, 0.0], [4.0, 3.0]])
    assert measured.details["novelty_note"].tolist() == [
        "mean daily maximum of the warmest month 4.5 degC is outside the known 0.0 to 4.0",
        "within the range of 2 known populations",
    ]
    assert np.isnan(measured.details["novelty"].astype(float)).all()


def yearly(site, population, years, spread, step=1.0):
    """Return the gap to one population whose years go up and down by its spread about a rising line."""
    year = np.arange(2000, 2000 + years)
    swing = np.where((year // 2) % 2, 1.0, -1.0)
    other = np.where(year % 2, 1.0, -1.0)
    values = np.column_stack([swing * spread[0], other * spread[1]]) + step * (year - 2000)[:, None]
    boxed = np.full(1, None, dtype=object)
    boxed[0] = (year, values)
    return climate_gap.measure(
        {
            "site_climate": np.array(site, dtype=float),
            "population_climate": np.array(population, dtype=float),
            "climate_cells": np.zeros((0, 2)),
            "climate_variables": np.array(["bio05", "bio06"], dtype=object),
            "population_names": np.array(["Old ground"], dtype=object),
            "population_site_ids": np.array(["A-2"], dtype=object),
            "population_years": boxed,
            "climate_gap_kind": np.array(["interannual"], dtype=object),
        }
    )


def test_sigma_against_the_years_of_a_population_and_not_its_trend():
    """Forty years swing by 1 and 2 degC: by divisor n - 2 the variance is 40 / 38, so D of (3, 0) is 3 / 1.026.

    The swing leans on the line a little, so a hundredth is left. Two variables make about 2.47 sigma of it.
    """
    measured = yearly([[3.0, 0.0]], [[0.0, 0.0]], 40, (1.0, 2.0))
    assert measured.details["climate_gap_kind"].tolist() == ["interannual"]
    assert measured.details["climate_gap_cells"].tolist() == [40]
    assert measured.details["climate_gap_distance"][0] == pytest.approx(3.0 / np.sqrt(40 / 38), rel=0.01)
    assert measured.value[0] == pytest.approx(2.47, abs=0.02)
    assert "sigmas of year-to-year variability" in climate_gap.describe(measured, 0)


def test_too_few_years_are_not_scored_and_said():
    measured = yearly([[3.0, 0.0]], [[0.0, 0.0]], 19, (1.0, 2.0))
    assert measured.note[0] == "19 years are given at the best of the populations; 20 are needed"
    assert not measured.known.any()
