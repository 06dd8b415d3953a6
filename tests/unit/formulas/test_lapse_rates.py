"""Fitted and default lapse rates on a slope whose rates are known."""

import numpy as np
import pytest

from geo_scout.formulas.lapse_rates import fit_lapse_rates
from geo_scout.model.lapse_rates import ClimateCells, LapseRateRule, RateSource

RATES_TMIN = np.array([-2.0, -1, 0, 1, 2, 3, 3, 3, 2, 1, 0, -1])[:, None]  # inversions in winter
RATES_TMAX = np.array([5.0, 5, 6, 7, 7, 7, 6, 6, 6, 6, 5, 5])[:, None]


def slope(count=40, top_m=1_200.0, tmin=RATES_TMIN, tmax=RATES_TMAX):
    """Return cells on a line up a slope, 500 m apart, with exact rates."""
    height = np.linspace(0, top_m, count)
    return ClimateCells(
        np.arange(count) * 500.0, np.zeros(count), height, 8 - tmin * height / 1000, 22 - tmax * height / 1000
    )


def only(cells, which):
    return ClimateCells(
        cells.easting_m[which], cells.northing_m[which], cells.elevation_m[which],
        cells.tmin_degc[:, which], cells.tmax_degc[:, which],
    )  # fmt: skip


def test_planted_rates_come_back_month_by_month():
    rates = fit_lapse_rates([5_000.0, 15_000.0], [0.0, 2_000.0], slope())
    assert rates.source.tolist() == [RateSource.FITTED, RateSource.FITTED]
    np.testing.assert_allclose(rates.tmin_degc_per_km, np.repeat(RATES_TMIN, 2, axis=1), atol=1e-9)
    np.testing.assert_allclose(rates.tmax_degc_per_km, np.repeat(RATES_TMAX, 2, axis=1), atol=1e-9)
    assert rates.cells.tolist() == [40, 40]
    assert (rates.lowest_m.tolist(), rates.highest_m.tolist()) == ([0.0, 0.0], [1200.0, 1200.0])


@pytest.mark.parametrize(
    ("cells", "source"),
    [
        (slope(count=29), RateSource.TOO_FEW_CELLS),
        (slope(top_m=299.0), RateSource.TOO_LITTLE_RELIEF),
        (slope(tmax=RATES_TMAX + 5.5), RateSource.IMPLAUSIBLE),
        (slope(tmin=RATES_TMIN - 9), RateSource.IMPLAUSIBLE),
        (slope(top_m=0.0), RateSource.TOO_LITTLE_RELIEF),
        (slope(count=0), RateSource.TOO_FEW_CELLS),
    ],
)
def test_where_nothing_can_be_fitted_the_default_is_used_and_said(cells, source):
    rates = fit_lapse_rates([5_000.0], [0.0], cells)
    assert rates.source.tolist() == [source]
    assert set(rates.tmin_degc_per_km.ravel()) == {3.0}
    assert set(rates.tmax_degc_per_km.ravel()) == {6.5}


def test_the_thresholds_themselves_are_enough():
    assert fit_lapse_rates([5_000.0], [0.0], slope(count=30)).source.tolist() == [RateSource.FITTED]
    assert fit_lapse_rates([5_000.0], [0.0], slope(top_m=300.0)).source.tolist() == [RateSource.FITTED]


def test_thresholds_and_defaults_can_be_set():
    rule = LapseRateRule(least_cells=50, default_tmin_degc_per_km=2.0, default_tmax_degc_per_km=7.0)
    rates = fit_lapse_rates([5_000.0], [0.0], slope(), rule)
    assert rates.source.tolist() == [RateSource.TOO_FEW_CELLS]
    assert (rates.tmin_degc_per_km[0, 0], rates.tmax_degc_per_km[0, 0]) == (2.0, 7.0)


def test_each_site_has_its_own_window():
    """Two slopes 200 km apart with unlike rates, and a site that is near neither."""
    west, east = slope(), slope(tmin=RATES_TMIN + 1, tmax=RATES_TMAX + 1)
    both = ClimateCells(
        np.r_[west.easting_m, east.easting_m + 2e5], np.zeros(80), np.r_[west.elevation_m, east.elevation_m],
        np.hstack([west.tmin_degc, east.tmin_degc]), np.hstack([west.tmax_degc, east.tmax_degc]),
    )  # fmt: skip
    rates = fit_lapse_rates([5_000.0, 2.05e5, 1e5], [0.0, 0.0, 0.0], both)
    assert rates.tmax_degc_per_km[0] == pytest.approx([5.0, 6.0, 6.5])
    assert rates.source.tolist() == [RateSource.FITTED, RateSource.FITTED, RateSource.TOO_FEW_CELLS]


def test_cells_that_lack_a_value_are_not_counted_and_spoil_nothing():
    cells = slope()
    cells.tmin_degc[4, 7] = np.nan
    cells.elevation_m[9] = np.nan
    rates = fit_lapse_rates([5_000.0], [0.0], cells)
    assert rates.cells.tolist() == [38]
    np.testing.assert_allclose(rates.tmin_degc_per_km[:, :1], RATES_TMIN, atol=1e-9)


def test_a_site_without_a_position_takes_the_default():
    rates = fit_lapse_rates([np.nan, 5_000.0], [0.0, 0.0], slope())
    assert rates.source.tolist() == [RateSource.TOO_FEW_CELLS, RateSource.FITTED]
    assert rates.cells.tolist() == [0, 40]
    assert fit_lapse_rates([], [], slope()).tmin_degc_per_km.shape == (12, 0)


def test_the_height_nearby_is_that_of_the_narrow_window():
    # cells every 500 m and 40 m up: within 10 km of the lowest cell lie 21, mean height 400 m
    cells = slope(count=101, top_m=4_000.0)
    rates = fit_lapse_rates([0.0, -9_500.0], [0.0, 0.0], cells)
    assert rates.nearby_mean_m[0] == pytest.approx(400.0, abs=20.0)  # to half a tile, 625 m or 25 m up
    assert np.isnan(fit_lapse_rates([0.0], [0.0], only(cells, slice(0, 2))).nearby_mean_m[0])


def test_far_cells_and_high_ground_do_not_change_the_rates():
    """Sums of squares about a common mean keep their digits on a high plateau far from the origin."""
    cells = slope()
    far = ClimateCells(
        cells.easting_m + 5e5,
        cells.northing_m + 5e6,
        cells.elevation_m + 4_000,
        cells.tmin_degc,
        cells.tmax_degc,
    )
    rates = fit_lapse_rates([5.05e5], [5e6], far)
    np.testing.assert_allclose(rates.tmin_degc_per_km, RATES_TMIN, atol=1e-9)
