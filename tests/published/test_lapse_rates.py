"""Lapse rates fitted in windows against SciPy's regression, cell by cell, and the rates the papers print."""

import numpy as np
import pytest
from scipy.stats import linregress

from geo_scout.formulas.lapse_rates import fit_lapse_rates
from geo_scout.model.lapse_rates import ClimateCells, LapseRateRule, RateSource

CELL_M = 4_500.0  # wider than a tile of the 30 km window, so that the window is an exact circle


@pytest.fixture(scope="module")
def mountains():
    """Return a 40 x 40 climate map whose rates change with month and place, with scatter."""
    generator = np.random.default_rng(2010)
    row, column = np.divmod(np.arange(1600), 40)
    easting_m, northing_m = column * CELL_M + 3e5, 5.2e6 - row * CELL_M
    height_m = 1400 + 900 * np.sin(column / 3) * np.cos(row / 4) + generator.normal(0, 80, 1600)
    season = np.cos(np.arange(12) * np.pi / 6)[:, None]
    scatter = generator.normal(0, 0.4, (2, 12, 1600))
    tmin_degc = 4 - 12 * season - (3.0 - season + column / 40) * height_m / 1000 + scatter[0]
    tmax_degc = 20 - 10 * season - (6.5 - season) * height_m / 1000 + scatter[1]
    return ClimateCells(easting_m, northing_m, height_m, tmin_degc, tmax_degc)


def test_every_month_against_scipy_in_an_exact_circle(mountains):
    # Sums in another order, on values of a few degrees and kilometres: 1e-9.
    generator = np.random.default_rng(1)
    sites = np.column_stack([generator.uniform(3.2e5, 4.6e5, 12), generator.uniform(5.04e6, 5.18e6, 12)])
    rates = fit_lapse_rates(*sites.T, mountains)
    assert (rates.source == RateSource.FITTED).all()
    for at, (east, north) in enumerate(sites):
        near = np.hypot(mountains.easting_m - east, mountains.northing_m - north) <= 30_000
        height = mountains.elevation_m[near]
        assert rates.cells[at] == near.sum()
        assert (rates.lowest_m[at], rates.highest_m[at]) == (height.min(), height.max())
        for found, monthly in (
            (rates.tmin_degc_per_km, mountains.tmin_degc),
            (rates.tmax_degc_per_km, mountains.tmax_degc),
        ):
            slopes = [-1000 * linregress(height, month[near]).slope for month in monthly]
            np.testing.assert_allclose(found[:, at], slopes, rtol=1e-9)


def test_cells_finer_than_a_tile_give_nearly_the_same_rates(mountains):
    """The same land at 900 m: the window's rim is uneven by half a tile, which moves rates by hundredths."""
    fine = np.arange(-2, 3) * CELL_M / 5
    east, north = (
        np.repeat(one, 25) + np.tile(shift, 1600)
        for one, shift in (
            (mountains.easting_m, np.repeat(fine, 5)),
            (mountains.northing_m, np.tile(fine, 5)),
        )
    )
    many = ClimateCells(
        east,
        north,
        *(
            np.repeat(one, 25, axis=-1)
            for one in (mountains.elevation_m, mountains.tmin_degc, mountains.tmax_degc)
        ),
    )
    site = np.array([[3.9e5], [5.1e6]])
    near = np.hypot(east - 3.9e5, north - 5.1e6) <= 30_000
    rates = fit_lapse_rates(*site, many)
    assert rates.cells[0] == pytest.approx(near.sum(), rel=0.06)
    exact = [-1000 * linregress(many.elevation_m[near], month[near]).slope for month in many.tmax_degc]
    assert rates.tmax_degc_per_km[:, 0] == pytest.approx(exact, abs=0.05)


def test_the_default_rates_lie_inside_what_the_papers_print():
    # Minder et al. 2010: annual means 3.9-5.2 degC/km on the windward Cascades, late-summer minima 2.5-3.5;
    # Blandford et al. 2008, as cited there: 6.5 holds for maxima only.
    rule = LapseRateRule()
    assert 2.5 <= rule.default_tmin_degc_per_km <= 3.5
    assert rule.default_tmax_degc_per_km == 6.5
    assert 3.9 <= (rule.default_tmin_degc_per_km + rule.default_tmax_degc_per_km) / 2 <= 5.2
