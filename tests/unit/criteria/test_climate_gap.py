import numpy as np
import pytest

from geo_scout.criteria import climate_gap
from geo_scout.criteria.climate_gap import matching
from geo_scout.formulas.sigma_dissimilarity import sigma_dissimilarity

# Forty cells whose two variables do not vary together: variances 4 x 40 / 39 and 1 x 40 / 39, covariance 0.
CELLS = np.array([[first, second] for first in (-2.0, 2.0) for second in (-1.0, 1.0)] * 10)
STRETCH = 40 / 39


def quantities(
    site, population, cells=CELLS, names=("Old ground", "New ground", "Third"), variables=("bio05", "bio06")
):
    return {
        "site_climate": np.array(site, dtype=float).reshape(-1, len(variables)),
        "population_climate": np.array(population, dtype=float).reshape(-1, len(variables)),
        "climate_cells": np.array(cells, dtype=float).reshape(-1, len(variables)),
        "climate_variables": np.array(variables, dtype=object),
        "population_names": np.array(names[: len(population)], dtype=object),
        "population_site_ids": np.array(["", "A-2", *[""] * 8][: len(population)], dtype=object),
        "population_years": np.full(len(population), None, dtype=object),
        "climate_gap_kind": np.array(["regional"], dtype=object),
    }


def measure(*given, **named):
    return climate_gap.measure(quantities(*given, **named))


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
            "19 climate cells or stations hold the host and 2 variables need 20; "
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


def test_a_variable_without_any_value_is_the_reason_and_not_the_number_of_cells():
    """The known population states its climate by hand; the raster of the minima holds nothing."""
    site, cells = [[4.0, np.nan]], CELLS.copy()
    cells[:, 1] = np.nan
    measured = measure(site, [[0.0, 0.0]], cells)
    assert measured.note[0] == (
        "no climate layer has a value of bio06 (mean daily minimum of the coldest month) at any site or climate "
        "cell: the raster it comes from is empty here or lacks the band"
    )


def test_an_offset_that_would_print_as_0_is_left_out_and_a_driver_that_would_is_said_to_be_small():
    """As above, the second variable offsets; (0.08, 0.04) has 0.04 degC of it, (0.02, 0.01) drives by 0.02."""
    root = np.linalg.cholesky([[1.0, 0.9], [0.9, 1.0]])
    measured = measure([[0.08, 0.04], [0.02, 0.01]], [[0.0, 0.0]], (CELLS / [2.0, 1.0]) @ root.T)
    assert measured.note == (
        "from Old ground: the warmest month 0.1 degC hotter; that drives the mismatch",
        "from Old ground: the warmest month less than 0.1 degC hotter; that drives the mismatch",
    )


def test_no_sites_at_all():
    assert len(measure([], [[0.0, 0.0]]).value) == 0


def sourced(site, population, ranked_ids, ids):
    columns = quantities(site, population)
    columns["population_site_ids"] = np.array(ids, dtype=object)
    return climate_gap.with_best_sources(climate_gap.measure(columns), columns, ranked_ids).details


def test_the_best_source_is_the_nearest_of_those_that_are_ranked():
    """(0.5, 0) is nearest to the first ground, then to A-1; only A-2 is ranked and can supply it."""
    details = sourced([[0.5, 0.0]], [[0.0, 0.0], [1.0, 0.0], [4.0, 3.0]], {"A-2"}, ["", "A-1", "A-2"])
    assert details["climate_gap_population"].tolist() == ["Old ground"]
    assert details["best_source_site_id"].tolist() == ["A-2"]
    distance = np.sqrt((3.5**2 / 4 + 3.0**2) / STRETCH)
    assert details["best_source_climate_gap"][0] == pytest.approx(distance / np.sqrt(2), rel=1e-12)
    assert details["best_source_note"].tolist() == [""]


@pytest.mark.parametrize(
    ("ranked_ids", "word"),
    [(set(), "no source is ranked"), ({"A-9"}, "no ranked source has a climate to compare")],
)
def test_without_a_ranked_source_there_is_none_and_a_word_says_so(ranked_ids, word):
    details = sourced([[0.5, 0.0], [np.nan, 0.0]], [[0.0, 0.0]], ranked_ids, ["A-1"])
    assert details["best_source_site_id"].tolist() == ["", ""]
    assert np.isnan(details["best_source_climate_gap"]).all()
    assert details["best_source_note"].tolist() == [word, ""]


def test_too_few_populations_to_score_give_every_value_and_its_range():
    measured = measure([[4.5, 1.0], [2.0, np.nan]], [[0.0, 0.0], [4.0, 3.0]])
    assert measured.details["novelty_note"].tolist() == [
        "not scored, 2 known populations of 10 needed: mean daily maximum of the warmest month 4.50 degC is outside "
        "the known 0.00 to 4.00; mean daily minimum of the coldest month 1.00 degC is within the known 0.00 to 3.00",
        "",
    ]
    assert np.isnan(measured.details["novelty"].astype(float)).all()


@pytest.mark.parametrize(
    ("coldest", "note", "score"),
    [
        (np.arange(10.0), "within the range of 10 known populations", 60.0),
        (
            np.zeros(10),
            "not scored, bio06 never varies among 10 known populations: mean daily maximum of the warmest month 2.50 "
            "degC is within the known 0.00 to 9.00; mean daily minimum of the coldest month 2.50 degC is outside the "
            "known 0.00 to 0.00",
            np.nan,
        ),
    ],
)
def test_ten_populations_are_scored_unless_one_variable_never_varies(coldest, note, score):
    """Three of ten are below 2.5: 2 x 30 = 60, in either variable."""
    populations = np.column_stack([np.arange(10.0), coldest])
    names = [f"ground {number}" for number in range(10)]
    measured = measure([[2.5, 2.5]], populations, names=names)
    assert measured.details["novelty_note"].tolist() == [note]
    assert measured.details["novelty"].astype(float) == pytest.approx([score], nan_ok=True)


def test_what_differs_in_the_last_bits_only_is_not_outside():
    """The ground's own cell seen through other weights, as in another reference system."""
    own = 15.573669645521377
    measured = measure([[np.nextafter(own, 0.0), 3.0]], [[own, 3.0], [25.0, 1.0]])
    assert "15.57 degC is within the known 15.57 to 25.00" in measured.details["novelty_note"][0]
    ten = np.column_stack([own + np.arange(10.0), np.arange(10.0)])
    sites = [[np.nextafter(own, low), 4.5] for low in (0.0, 99.0)]
    measured = measure(sites, ten, names=[f"ground {number}" for number in range(10)])
    # The lowest of the known: 0 by the strict count, whichever way its last bit fell.
    assert measured.details["novelty"].tolist() == [0.0, 0.0]
    assert set(measured.details["novelty_note"]) == {"within the range of 10 known populations"}


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


def years_that_swing(count, *spreads, step=1.0):
    """Return years and values whose columns swing about a rising line, each in a rhythm of its own."""
    year = np.arange(2000, 2000 + count)
    rhythms = [np.where((year // 2**power) % 2, 1.0, -1.0) for power in range(len(spreads))]
    return year, np.column_stack(rhythms) * spreads + step * (year - 2000)[:, None]


def gap_to_years(site, population, years):
    boxed = np.full(len(years), None, dtype=object)
    boxed[:] = years
    names = [f"ground {number}" for number in range(len(years))]
    return climate_gap.measure(
        {
            "site_climate": np.array(site, dtype=float),
            "population_climate": np.array(population, dtype=float),
            "climate_cells": np.zeros((0, 2)),
            "climate_variables": np.array(["bio05", "bio06"], dtype=object),
            "population_names": np.array(names, dtype=object),
            "population_site_ids": np.array(["A-1", *[""] * (len(years) - 1)], dtype=object),
            "population_years": boxed,
            "climate_gap_kind": np.array(["interannual"], dtype=object),
        }
    )


def test_of_populations_with_unlike_components_the_fewest_sigmas_win():
    """The second ground's variables go together but for 1/1000, so its differences are compared in one component.

    From it (1, 1) is D = 1 / 1.03 in one dimension, 0.97 sigma; from the first, at (3, 3), nothing is as near.
    """
    year, apart = years_that_swing(40, 1.0, 1.0)
    together = np.column_stack([apart[:, 0], apart[:, 0] + 1e-3 * apart[:, 1]])
    measured = gap_to_years(
        [[1.0, 1.0], [3.1, 3.0]], [[3.0, 3.0], [0.0, 0.0]], [(year, apart), (year, together)]
    )
    assert measured.details["climate_gap_population"].tolist() == ["ground 1", "ground 0"]
    assert measured.details["climate_gap_components"].tolist() == [1, 2]
    assert measured.value[0] == pytest.approx(1 / np.sqrt(40 / 38), rel=0.02)
    assert measured.note[0].endswith("; compared in 1 of 2 components, the others hardly vary")


def test_a_difference_that_left_out_components_do_not_see_is_said():
    year, apart = years_that_swing(40, 1.0, 1.0)
    together = np.column_stack([apart[:, 0], apart[:, 0] + 1e-3 * apart[:, 1]])
    [note] = gap_to_years([[1.0, -1.0]], [[0.0, 0.0]], [(year, together)]).note
    assert note.endswith("yet 100 % of this difference lies in them: the gap is too small here")


def test_sigma_is_taken_of_the_printed_pairs_only(monkeypatch):
    """Two sites, twenty populations: the best of all is one pair a site, of forty."""
    taken = []

    def counting(distance, dimensions):
        taken.append(np.size(distance))
        return sigma_dissimilarity(distance, dimensions)

    monkeypatch.setattr(matching, "sigma_dissimilarity", counting)
    years = years_that_swing(40, 1.0, 2.0)
    population = np.random.default_rng(1).normal(size=(20, 2))
    measured = gap_to_years([[3.0, 0.0], [0.0, 1.0]], population, [years] * 20)
    assert measured.known.all()
    assert sum(taken) == 2


def test_a_variable_that_no_year_holds_is_named():
    year, values = years_that_swing(40, 1.0, 2.0)
    values[:, 1] = np.nan
    measured = gap_to_years([[3.0, 0.0]], [[0.0, 0.0]], [(year, values)])
    assert measured.note[0] == "the layer yearly_climate holds no bio06"


def test_without_a_covariance_every_value_is_still_told_with_the_range_of_the_populations():
    """Nineteen cells are too few for two variables: no gap, but the winter is seen to be outside."""
    measured = measure([[2.0, 4.0]], [[0.0, 0.0], [4.0, 3.0]], CELLS[:19])
    assert np.isnan(measured.value).all()
    assert measured.details["novelty_note"][0].endswith(
        "mean daily minimum of the coldest month 4.00 degC is outside the known 0.00 to 3.00"
    )
