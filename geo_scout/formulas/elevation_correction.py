"""Monthly temperatures brought from the height of the climate map to the height of the site."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.lapse_rates import (
    STANDARD_LAPSE_RULE,
    ElevationCorrection,
    LapseRateRule,
    LapseRates,
)

FloatArray = NDArray[np.float64]

_M_PER_KM = 1_000.0


def at_elevation(
    tmin_degc: ArrayLike,
    tmax_degc: ArrayLike,
    higher_m: ArrayLike,
    tmin_degc_per_km: ArrayLike = STANDARD_LAPSE_RULE.default_tmin_degc_per_km,
    tmax_degc_per_km: ArrayLike = STANDARD_LAPSE_RULE.default_tmax_degc_per_km,
) -> tuple[FloatArray, FloatArray]:
    """Return the temperatures of a station at places of another elevation.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Daily or monthly minima and maxima, (times, n) or (times, 1) [degC].
    higher_m
        How much higher the places lie than the station, (n,); nan where either elevation is not known: the
        temperatures are then taken as they are [m].
    tmin_degc_per_km, tmax_degc_per_km
        By how much it is colder for each km up; the defaults and their sources are those of `LapseRateRule`
        [degC/km].

    Returns
    -------
    tuple of numpy.ndarray
        Minima and maxima, (times, n) each [degC]. Where two rates push a minimum past its maximum, both are
        their mean, as in `correct_to_elevation`.

    Examples
    --------
    >>> tmin, tmax = at_elevation([[5.0, 5.0]], [[15.0, 15.0]], [400.0, np.nan])
    >>> tmin.round(4).tolist(), tmax.round(4).tolist()
    ([[3.8, 5.0]], [[12.4, 15.0]])
    """
    higher_km = np.nan_to_num(np.asarray(higher_m, dtype=np.float64)) / _M_PER_KM
    tmin = np.asarray(tmin_degc, dtype=np.float64) - np.asarray(tmin_degc_per_km) * higher_km
    tmax = np.asarray(tmax_degc, dtype=np.float64) - np.asarray(tmax_degc_per_km) * higher_km
    is_crossed, middle = tmin > tmax, (tmin + tmax) / 2
    return np.where(is_crossed, middle, tmin), np.where(is_crossed, middle, tmax)


def correct_to_elevation(
    tmin_degc: ArrayLike,
    tmax_degc: ArrayLike,
    site_elevation_m: ArrayLike,
    cell_elevation_m: ArrayLike,
    rates: LapseRates,
    rule: LapseRateRule = STANDARD_LAPSE_RULE,
) -> ElevationCorrection:
    """Return monthly temperatures at the sites' own elevation, and how far to trust them.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Monthly means of the daily minimum and maximum of the climate cells at each site, (12, n) [degC].
    site_elevation_m
        Elevation of the sites, (n,) [m].
    cell_elevation_m
        Elevation the climate map has at the sites, averaged over the same cells in the same way, (n,) [m].
    rates
        Of the same n sites.
    rule
        From where on a correction is marked.

    Returns
    -------
    ElevationCorrection
        Temperature minus rate x (site - cell). A site without either elevation keeps its temperatures and is
        marked as not corrected; a missing temperature stays missing.

    Notes
    -----
    A minimum that comes out above its maximum (a long way up at very different rates) is no temperature of
    any day: both are set to their mean, and the site is marked.

    References
    ----------
    Minder, J.R., Mote, P.W. & Lundquist, J.D. 2010. Journal of Geophysical Research 115, D14122.

    Examples
    --------
    >>> from geo_scout.formulas.lapse_rates import fit_lapse_rates
    >>> from geo_scout.model.lapse_rates import ClimateCells
    >>> none, no_months = np.zeros(0), np.zeros((12, 0))
    >>> rates = fit_lapse_rates([0.0], [0.0], ClimateCells(none, none, none, no_months, no_months))
    >>> moved = correct_to_elevation(np.full((12, 1), 5.0), np.full((12, 1), 15.0), [1400.0], [1000.0], rates)
    >>> float(moved.tmin_degc[0, 0].round(4)), float(moved.tmax_degc[0, 0].round(4))
    (3.8, 12.4)
    """
    tmin, tmax = (np.asarray(months, dtype=np.float64) for months in (tmin_degc, tmax_degc))
    site, cell = (np.asarray(height, dtype=np.float64) for height in (site_elevation_m, cell_elevation_m))
    rise = site - cell
    is_corrected = np.isfinite(rise)
    rise_km = np.where(is_corrected, rise, 0.0) / _M_PER_KM
    tmin_change, tmax_change = (
        0.0 - rate * rise_km for rate in (rates.tmin_degc_per_km, rates.tmax_degc_per_km)
    )
    moved_tmin, moved_tmax = tmin + tmin_change, tmax + tmax_change
    is_crossed = (moved_tmin > moved_tmax) & (tmin <= tmax)
    middle = (moved_tmin + moved_tmax) / 2
    largest = np.maximum(np.abs(tmin_change), np.abs(tmax_change)).max(axis=0, initial=0.0)
    return ElevationCorrection(
        tmin_degc=np.where(is_crossed, middle, moved_tmin),
        tmax_degc=np.where(is_crossed, middle, moved_tmax),
        tmin_correction_degc=tmin_change,
        tmax_correction_degc=tmax_change,
        rise_m=np.where(is_corrected, rise, np.nan),
        rates=rates,
        is_corrected=is_corrected,
        is_large=largest > rule.large_degc,
        is_valley_floor=np.asarray(rates.nearby_mean_m - site >= rule.valley_below_m),
        is_beyond_cells=np.asarray((site < rates.lowest_m) | (site > rates.highest_m)) & is_corrected,
        is_crossed=np.asarray(is_crossed.any(axis=0)),
    )
