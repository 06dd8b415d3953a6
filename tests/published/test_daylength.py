"""Daylength against pvlib 0.16.1 (NREL's solar position algorithm) and two published figures."""

import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition

from geo_scout.formulas.daylength import daylength_hours

WITHIN_HOURS = 2 / 60
LATITUDES_DEG = [-65.0, -55.0, -45.0, -33.0, -20.0, 20.0, 36.5, 45.0, 52.0, 60.0, 65.0]


@pytest.mark.parametrize("latitude", LATITUDES_DEG)
def test_sunrise_to_sunset_within_two_minutes(latitude):
    """Each day of a leap year at Greenwich, with pvlib's own sunrise and sunset."""
    dates = pd.date_range("2028-01-01", "2028-12-31", tz="UTC")
    times = solarposition.sun_rise_set_transit_spa(dates, latitude, 0.0)
    theirs = (times["sunset"] - times["sunrise"]).dt.total_seconds().to_numpy() / 3600
    ours = daylength_hours(latitude, dates.tz_localize(None).to_numpy())
    assert np.abs(ours - theirs).max() < WITHIN_HOURS


@pytest.mark.parametrize("longitude", [-110.0, 0.0, 170.0])
@pytest.mark.parametrize("latitude", [-65.0, 47.0, 65.0])
def test_time_above_the_horizon_within_two_minutes(latitude, longitude):
    """pvlib's altitude of the sun every four minutes from midnight to midnight by the sun, anywhere.

    Its sunrise function takes sunrise and sunset of one UTC day, which west or east of Greenwich are not always those
    of one local day; counting time above -0.8333 degrees has no such trouble.
    """
    for date in pd.date_range("2026-01-10", "2026-12-20", periods=12).normalize():
        noon = date + pd.Timedelta(hours=12 - longitude / 15)
        minutes = pd.date_range(noon - pd.Timedelta(hours=12), periods=361, freq="4min", tz="UTC")
        altitude = solarposition.get_solarposition(minutes, latitude, longitude, altitude=0)["elevation"]
        fine = np.interp(np.arange(0, 360, 0.05), np.arange(361), altitude)
        theirs = 24.0 * np.mean(fine > -0.8333)
        ours = float(daylength_hours(latitude, np.datetime64(date.date()), longitude))
        assert ours == pytest.approx(theirs, abs=WITHIN_HOURS), date


def test_polar_day_and_night_last_as_long_as_in_pvlib():
    """Tromso's latitude, 69.65 N: pvlib gives no sunrise on the same days, but for one at each end."""
    dates = pd.date_range("2027-01-01", "2027-12-31", tz="UTC")
    noons = dates + pd.Timedelta(hours=12)
    midnights = dates
    highest = solarposition.get_solarposition(noons, 69.65, 0.0, altitude=0)["elevation"].to_numpy()
    lowest = solarposition.get_solarposition(midnights, 69.65, 0.0, altitude=0)["elevation"].to_numpy()
    hours = daylength_hours(69.65, dates.tz_localize(None).to_numpy())
    assert abs((hours == 0.0).sum() - (highest < -0.8333).sum()) <= 2
    assert abs((hours == 24.0).sum() - (lowest > -0.8333).sum()) <= 2
    assert (hours == 0.0).sum() > 40
    assert (hours == 24.0).sum() > 60


def test_midsummer_at_the_limit_of_one_generation():
    """Bean, Dudley & Keller 2007, Environ. Entomol. 36:15-25: 14 h 39 min at 36 deg 20 min N; one minute of rounding.

    With the coefficient of Forsythe et al. 1995, 0.8333 degrees, 14 h 38 min; with the sun's centre on a plain
    horizon 14 h 29 min.
    """
    latitude, midsummer = 36 + 20 / 60, np.datetime64("2026-06-21")
    assert float(daylength_hours(latitude, midsummer)) == pytest.approx(14 + 39 / 60, abs=1.1 / 60)
    assert float(daylength_hours(latitude, midsummer)) == pytest.approx(14 + 38 / 60, abs=0.6 / 60)
    assert float(daylength_hours(latitude, midsummer, sun_altitude_deg=0.0)) == pytest.approx(
        14 + 29 / 60, abs=0.6 / 60
    )
