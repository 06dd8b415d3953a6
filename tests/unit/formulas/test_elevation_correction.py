"""Temperatures brought to a site's height, by hand, and the marks that say how far to trust them."""

import numpy as np
import pytest

from geo_scout.formulas.elevation_correction import at_elevation, correct_to_elevation
from geo_scout.model.lapse_rates import LapseRateRule, LapseRates

TMIN, TMAX = np.full((12, 1), 5.0), np.full((12, 1), 15.0)


def rates(tmin=3.0, tmax=6.5, low=0.0, high=3000.0, nearby=np.nan, sites=1):
    return LapseRates(
        np.full((12, sites), tmin), np.full((12, sites), tmax), np.zeros(sites, np.int8), np.full(sites, 99),
        np.full(sites, low), np.full(sites, high), np.full(sites, nearby),
    )  # fmt: skip


def correct(site_m, cell_m, given=None, rule=None):
    return correct_to_elevation(TMIN, TMAX, [site_m], [cell_m], given or rates(), rule or LapseRateRule())


def test_four_hundred_metres_up():
    # 0.4 km x 3.0 = 1.2 and 0.4 x 6.5 = 2.6 degC colder
    up = correct(1_400.0, 1_000.0)
    assert up.tmin_degc == pytest.approx(np.full((12, 1), 3.8))
    assert up.tmax_degc == pytest.approx(np.full((12, 1), 12.4))
    assert up.tmin_correction_degc[0, 0] == pytest.approx(-1.2)
    assert up.tmax_correction_degc[0, 0] == pytest.approx(-2.6)
    assert up.rise_m.tolist() == [400.0]
    assert not (up.is_large | up.is_valley_floor | up.is_beyond_cells | up.is_crossed).any()


def test_down_is_warmer_and_months_keep_their_own_rates():
    monthly = rates()
    monthly.tmin_degc_per_km[:, 0] = np.arange(-2.0, 10.0)
    down = correct(500.0, 1_000.0, monthly)
    assert down.tmax_degc[0, 0] == pytest.approx(18.25)
    assert down.tmin_degc[:, 0] == pytest.approx(5 + np.arange(-2.0, 10.0) / 2)


@pytest.mark.parametrize(("rise_m", "is_large"), [(461.0, False), (462.0, True), (-462.0, True)])
def test_a_correction_beyond_three_degrees_is_marked(rise_m, is_large):
    # 3 degC / 6.5 degC per km = 461.5 m
    assert correct(1_000.0 + rise_m, 1_000.0).is_large.tolist() == [is_large]


@pytest.mark.parametrize(("site_m", "is_floor"), [(850.0, True), (851.0, False), (1_300.0, False)])
def test_a_site_far_below_its_surroundings_is_a_valley_floor(site_m, is_floor):
    assert correct(site_m, 1_000.0, rates(nearby=1_000.0)).is_valley_floor.tolist() == [is_floor]


def test_without_surroundings_no_valley_is_claimed():
    assert correct(0.0, 1_000.0, rates(nearby=np.nan)).is_valley_floor.tolist() == [False]


@pytest.mark.parametrize(
    ("site_m", "is_beyond"), [(799.0, True), (800.0, False), (1_600.0, False), (1_601.0, True)]
)
def test_a_site_outside_the_heights_that_were_fitted_is_marked(site_m, is_beyond):
    assert correct(site_m, 1_000.0, rates(low=800.0, high=1_600.0)).is_beyond_cells.tolist() == [is_beyond]


def test_a_missing_height_leaves_the_temperatures_and_says_so():
    for site_m, cell_m in ((np.nan, 1_000.0), (1_000.0, np.nan)):
        kept = correct(site_m, cell_m)
        assert kept.tmin_degc.tolist() == TMIN.tolist()
        assert kept.tmax_degc.tolist() == TMAX.tolist()
        assert not kept.tmin_correction_degc.any()
        assert np.isnan(kept.rise_m).all()
        assert kept.is_corrected.tolist() == [False]
        assert not (kept.is_large | kept.is_valley_floor | kept.is_beyond_cells).any()


def test_a_missing_temperature_stays_missing():
    tmin = TMIN.copy()
    tmin[3] = np.nan
    moved = correct_to_elevation(tmin, TMAX, [1_400.0], [1_000.0], rates())
    assert np.isnan(moved.tmin_degc[:, 0]).tolist() == [month == 3 for month in range(12)]
    assert moved.tmax_degc == pytest.approx(np.full((12, 1), 12.4))


def test_a_minimum_never_passes_its_maximum():
    # 3.5 km up at 3.0 and 6.5 degC per km: 5 - 10.5 = -5.5 and 15 - 22.75 = -7.75, mean -6.625
    far_up = correct(3_500.0, 0.0)
    assert far_up.is_crossed.tolist() == [True]
    assert far_up.tmin_degc.tolist() == far_up.tmax_degc.tolist()
    assert far_up.tmin_degc[0, 0] == pytest.approx(-6.625)


def test_many_sites_at_once():
    many = correct_to_elevation(
        np.repeat(TMIN, 3, axis=1),
        np.repeat(TMAX, 3, axis=1),
        [1_000.0, 2_000.0, np.nan],
        [1_000.0] * 3,
        rates(sites=3),
    )
    assert many.tmin_degc[0].tolist() == [5.0, 2.0, 5.0]
    assert many.is_large.tolist() == [False, True, False]
    none = np.zeros((12, 0))
    assert correct_to_elevation(none, none, [], [], rates(sites=0)).is_large.shape == (0,)


def test_a_station_at_places_higher_lower_and_nobody_knows():
    # 1 km up: 3 and 6.5 degC off at the default rates; 200 m down: 0.6 and 1.3 degC on
    tmin, tmax = at_elevation([[10.0], [2.0]], [[20.0], [5.0]], [1000.0, -200.0, np.nan])
    assert tmin[0] == pytest.approx([7.0, 10.6, 10.0])
    assert tmax[0] == pytest.approx([13.5, 21.3, 20.0])
    # 2 - 3 = -1 and 5 - 6.5 = -1.5 cross: both are -1.25
    assert (tmin[1, 0], tmax[1, 0]) == pytest.approx((-1.25, -1.25))


def test_rates_of_ones_own():
    tmin, tmax = at_elevation(np.full((12, 1), 5.0), np.full((12, 1), 15.0), [500.0], 0.0, 8.0)
    assert (tmin[:, 0].tolist(), tmax[:, 0].tolist()) == ([5.0] * 12, [11.0] * 12)
