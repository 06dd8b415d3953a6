"""Pairs of sources and release sites against scipy's distances, and against the best source of each site."""

import itertools

import numpy as np
import pandas as pd
import pytest
from scipy import stats
from scipy.spatial.distance import cdist

from geo_scout.criteria import climate_gap
from geo_scout.criteria.climate_gap.pairs import MOST_SITES, MOST_SOURCES, possible_sources

VARIABLES = ("bio05", "bio06", "bio12")
SITES, SOURCES = 40, 25


def columns(kind="regional", sites=SITES, sources=SOURCES, years=30, seed=3):
    """Invented quantities: patches A-0 ... of which the last ones are sources, each with one population."""
    rng = np.random.default_rng(seed)
    mixing = np.array([[2.0, 0.0, 0.0], [0.8, 1.5, 0.0], [0.01, 0.03, 0.1]])
    climate = rng.normal(size=(sites, 3)) @ mixing.T + [28.0, -6.0, 6.0]
    ids = [f"A-{number}" for number in range(sites)]
    yearly = np.empty(sources, dtype=object)
    for row in range(sources):
        # Of every third population one variable follows the others so nearly that it is left out.
        drawn = rng.normal(size=(years, 3)) * rng.uniform(0.5, 2.0, 3)
        if row % 3 == 0:
            drawn[:, 2] = drawn[:, :2].sum(axis=1) + 1e-3 * rng.normal(size=years)
        yearly[row] = (np.arange(1990, 1990 + years), drawn)
    return {
        "site_climate": climate,
        "population_climate": climate[-sources:].copy(),
        "climate_cells": rng.normal(size=(200, 3)) @ mixing.T + [28.0, -6.0, 6.0],
        "climate_variables": np.array(VARIABLES, dtype=object),
        "population_names": np.array(ids[-sources:], dtype=object),
        "population_site_ids": np.array(ids[-sources:], dtype=object),
        "population_years": yearly,
        "climate_gap_kind": np.array([kind], dtype=object),
    }, ids


def pairs_of(given, ids, release=slice(0, 30), source=slice(-SOURCES, None)):
    return possible_sources(given, ids, ids[release], ids[source])


def expected_regional(given):
    """D / sqrt 2 of every site from every population, by scipy."""
    inverse = np.linalg.inv(np.cov(given["climate_cells"].T))
    return cdist(given["site_climate"], given["population_climate"], "mahalanobis", VI=inverse) / np.sqrt(2)


def test_gaps_are_scipys_distances():
    given, ids = columns()
    expected = expected_regional(given)
    found = pairs_of(given, ids)
    assert len(found) >= 30 * MOST_SOURCES
    for pair in found.itertuples():
        site, source = ids.index(pair.site_id), ids.index(pair.source_site_id) - (SITES - SOURCES)
        assert pair.climate_gap == pytest.approx(expected[site, source], rel=1e-9)


def test_each_site_has_its_nearest_sources_and_each_source_its_nearest_sites():
    given, ids = columns()
    gap = pd.DataFrame(expected_regional(given), index=ids, columns=ids[-SOURCES:])
    for one in ids[-SOURCES:]:
        gap.loc[one, one] = np.nan  # a patch does not feed itself
    gap = gap.iloc[:30]
    found = pairs_of(given, ids)
    for site, rows in found.dropna(subset="source_order").groupby("site_id"):
        rows = rows.sort_values("source_order")
        assert rows["source_order"].tolist() == list(range(1, MOST_SOURCES + 1))
        assert rows["source_site_id"].tolist() == gap.loc[site].nsmallest(MOST_SOURCES).index.tolist()
    for source, rows in found.dropna(subset="site_order").groupby("source_site_id"):
        rows = rows.sort_values("site_order")
        assert rows["site_id"].tolist() == gap[source].nsmallest(MOST_SITES).index.tolist()
    assert found["site_id"].nunique() == 30
    assert found["source_site_id"].nunique() == SOURCES
    assert found[["source_order", "site_order"]].notna().any(axis=1).all()
    assert found["source_order"].isna().any(), "some pairs are kept for the source alone"


def test_blocks_of_many_sites_give_what_one_block_gives():
    """Sites are taken some hundreds at a time; the nearest of all of them stay the nearest."""
    given, ids = columns(sites=30_000)
    found = possible_sources(given, ids, ids[:29_975], ids[-SOURCES:])
    expected = expected_regional(given)[:29_975]
    for number, source in enumerate(ids[-SOURCES:]):
        rows = found[(found["source_site_id"] == source) & found["site_order"].notna()]
        nearest = np.sort(expected[:, number])[:MOST_SITES]
        assert rows.sort_values("site_order")["climate_gap"].to_numpy() == pytest.approx(nearest, rel=1e-9)


@pytest.mark.parametrize("kind", ["regional", "interannual"])
def test_the_first_source_of_a_site_is_its_best_source(kind):
    given, ids = columns(kind)
    details = climate_gap.with_best_sources(
        climate_gap.measure(given), given, frozenset(ids[-SOURCES:])
    ).details
    best = pd.DataFrame(
        {"source": details["best_source_site_id"], "gap": details["best_source_climate_gap"]}, index=ids
    )
    found = pairs_of(given, ids, release=slice(0, SITES - SOURCES))
    first = found[found["source_order"] == 1].set_index("site_id")
    assert first["source_site_id"].tolist() == best.loc[first.index, "source"].tolist()
    assert first["climate_gap"].to_numpy() == pytest.approx(best.loc[first.index, "gap"].to_numpy(), abs=0)


@pytest.mark.parametrize("kind", ["regional", "interannual"])
def test_every_pair_is_the_gap_to_that_source_alone(kind):
    """Of one ranked source the best source is that source: its gap is the pair's."""
    given, ids = columns(kind, sites=14, sources=7)
    found = possible_sources(given, ids, ids[:7], ids[-7:])
    measured = climate_gap.measure(given)
    for source, rows in found.groupby("source_site_id"):
        alone = climate_gap.with_best_sources(measured, given, frozenset([source])).details
        gaps = dict(zip(ids, alone["best_source_climate_gap"], strict=True))
        assert rows["climate_gap"].tolist() == pytest.approx(
            [gaps[one] for one in rows["site_id"]], rel=1e-12
        )
    assert found["source_order"].max() == MOST_SOURCES


def test_sigmas_are_scipys_and_ordered_though_populations_keep_unlike_numbers_of_components():
    given, ids = columns("interannual")
    found = pairs_of(given, ids, release=slice(0, SITES - SOURCES))
    kept = set()
    for row, (year, values) in enumerate(given["population_years"]):
        source = ids[SITES - SOURCES + row]
        trend = np.column_stack([np.ones(len(year)), year - year.mean()])
        residual = values - trend @ np.linalg.lstsq(trend, values, rcond=None)[0]
        covariance = residual.T @ residual / (len(year) - 2)
        if np.linalg.cond(np.corrcoef(residual.T)) > 1e5:
            kept.add("fewer")
            continue  # the components that are left out are those of the program's own rule
        kept.add("all")
        for pair in found[found["source_site_id"] == source].itertuples():
            apart = given["site_climate"][ids.index(pair.site_id)] - given["population_climate"][row]
            distance = np.sqrt(apart @ np.linalg.solve(covariance, apart))
            sigma = stats.chi(1).isf(stats.chi(3).sf(distance))
            assert pair.climate_gap == pytest.approx(sigma, rel=1e-6)
    assert kept == {"all", "fewer"}
    for _, rows in found.dropna(subset="source_order").groupby("site_id"):
        assert rows.sort_values("source_order")["climate_gap"].is_monotonic_increasing


def test_sites_in_one_climate_cell_keep_the_order_of_the_populations_and_of_the_ranks():
    given, ids = columns()
    given["population_climate"][:] = given["population_climate"][0]
    given["site_climate"][:15] = given["site_climate"][0]
    found = possible_sources(given, ids, ids[:15][::-1], ids[-SOURCES:])
    by_site = found.dropna(subset="source_order").sort_values("source_order").groupby("site_id")
    assert all(rows["source_site_id"].tolist() == ids[-SOURCES:][:MOST_SOURCES] for _, rows in by_site)
    by_source = found.dropna(subset="site_order").sort_values("site_order").groupby("source_site_id")
    assert all(rows["site_id"].tolist() == ids[:15][::-1][:MOST_SITES] for _, rows in by_source)


def test_a_site_or_source_without_a_climate_has_no_pairs():
    given, ids = columns()
    given["site_climate"][2, 1] = np.nan
    given["population_climate"][4, 0] = np.nan
    found = pairs_of(given, ids)
    assert ids[2] not in set(found["site_id"])
    assert ids[SITES - SOURCES + 4] not in set(found["source_site_id"])
    assert found["climate_gap"].notna().all()


@pytest.mark.parametrize(("release", "source"), [*itertools.product([slice(0), slice(30)], repeat=2)])
def test_nothing_ranked_gives_no_pairs(release, source):
    given, ids = columns()
    found = pairs_of(given, ids, release=release, source=source)
    assert list(found.columns) == ["site_id", "source_site_id", "climate_gap", "source_order", "site_order"]
    assert (len(found) == 0) == (release.stop == 0 or source.stop == 0)


def test_too_few_cells_give_no_pairs():
    given, ids = columns()
    given["climate_cells"] = given["climate_cells"][:5]
    assert len(pairs_of(given, ids)) == 0
