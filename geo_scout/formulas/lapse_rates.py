"""How temperature falls with height around each site, month by month, minima and maxima apart."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.tile_sums import TileSums, sum_within
from geo_scout.model.lapse_rates import (
    STANDARD_LAPSE_RULE,
    ClimateCells,
    LapseRateRule,
    LapseRates,
    RateSource,
)

FloatArray = NDArray[np.float64]

_M_PER_KM = 1_000.0
_LEAST_NEARBY = 3


def fit_lapse_rates(
    easting_m: ArrayLike,
    northing_m: ArrayLike,
    cells: ClimateCells,
    rule: LapseRateRule = STANDARD_LAPSE_RULE,
) -> LapseRates:
    """Return monthly lapse rates of minima and maxima at n sites.

    Parameters
    ----------
    easting_m, northing_m
        Sites, (n,), in the plane of the cells [m].
    cells
        Climate cells with their elevation; cells that lack a value are not counted. With no cells at all
        every site takes the default.
    rule
        Window, thresholds and default rates.

    Returns
    -------
    LapseRates
        By least squares of temperature on elevation over the cells within `window_km` of the site. The
        default, and why, where the cells are fewer than `least_cells`, differ by less than `least_relief_m`
        in height, or give a rate in any month beyond the plausible range; a nan position has no cells.

    Notes
    -----
    The line is fitted to elevation only: what latitude, the sea or a rain shadow do inside the window goes
    into its scatter, or, where they rise with the land, into the rate. Rates are of free slopes; the floor
    of a valley that fills with cold air follows none.

    References
    ----------
    Minder, J.R., Mote, P.W. & Lundquist, J.D. 2010. Journal of Geophysical Research 115, D14122: rates vary
    by month and differ between minima and maxima.

    Examples
    --------
    >>> height = np.linspace(0.0, 1500.0, 40)
    >>> cold, warm = (np.tile(at_sea - height * fall, (12, 1)) for at_sea, fall in ((5, 0.003), (20, 0.006)))
    >>> cells = ClimateCells(height, 0 * height, height, cold, warm)
    >>> rates = fit_lapse_rates([700.0], [0.0], cells)
    >>> float(rates.tmin_degc_per_km[0, 0].round(6)), float(rates.tmax_degc_per_km[11, 0].round(6))
    (3.0, 6.0)
    """
    places = np.column_stack([np.asarray(one, dtype=np.float64) for one in (easting_m, northing_m)])
    whole = _whole(cells)
    height = cells.elevation_m[whole]
    temperature = np.vstack([cells.tmin_degc[:, whole], cells.tmax_degc[:, whole]]).T
    points = np.column_stack([cells.easting_m[whole], cells.northing_m[whole]])
    fitted, window = _fit(places, points, height, temperature, rule.window_km * _M_PER_KM)
    nearby = _mean_height(places, points, height, rule.valley_window_km * _M_PER_KM)
    count = np.rint(window.sums[:, 0]).astype(np.int64)
    source = _sources(count, window.most - window.least, fitted, rule)
    default = np.repeat([rule.default_tmin_degc_per_km, rule.default_tmax_degc_per_km], 12)
    rates = np.where((source == RateSource.FITTED)[:, None], fitted, default).T
    return LapseRates(rates[:12], rates[12:], source, count, window.least, window.most, nearby)


def _whole(cells: ClimateCells) -> NDArray[np.bool_]:
    columns = np.vstack(
        [cells.easting_m, cells.northing_m, cells.elevation_m, cells.tmin_degc, cells.tmax_degc]
    )
    return np.asarray(np.isfinite(columns).all(axis=0))


def _fit(
    places: FloatArray, points: FloatArray, height: FloatArray, temperature: FloatArray, radius_m: float
) -> tuple[FloatArray, TileSums]:
    """Return the slope of 24 lines per place, sign turned [degC/km], and the sums they come from."""
    # About their means, so that small differences are not lost in large squares.
    rise = (height - height.mean()) / _M_PER_KM if len(height) else height
    warmth = temperature - temperature.mean(axis=0) if len(height) else temperature
    quantities = np.column_stack([np.ones_like(rise), rise, rise**2, warmth, rise[:, None] * warmth])
    window = sum_within(places, points, quantities, height, radius_m)
    count, first, second = window.sums[:, :3].T
    of_warmth, of_both = window.sums[:, 3:27], window.sums[:, 27:]
    spread = count * second - first**2
    together = count[:, None] * of_both - first[:, None] * of_warmth
    is_spread = spread > 0
    slope = np.divide(together, spread[:, None], out=np.zeros_like(together), where=is_spread[:, None])
    return -slope, window


def _mean_height(places: FloatArray, points: FloatArray, height: FloatArray, radius_m: float) -> FloatArray:
    sums = sum_within(places, points, np.column_stack([np.ones_like(height), height]), height, radius_m).sums
    count, total = sums.T
    mean: FloatArray = np.divide(total, count, out=np.full(len(places), np.nan), where=count >= _LEAST_NEARBY)
    return mean


def _sources(
    count: NDArray[np.int64], relief_m: FloatArray, fitted: FloatArray, rule: LapseRateRule
) -> NDArray[np.int8]:
    beyond = (fitted < rule.least_degc_per_km) | (fitted > rule.most_degc_per_km)
    return np.select(
        [count < rule.least_cells, ~(relief_m >= rule.least_relief_m), beyond.any(axis=1)],
        [RateSource.TOO_FEW_CELLS, RateSource.TOO_LITTLE_RELIEF, RateSource.IMPLAUSIBLE],
        RateSource.FITTED,
    ).astype(np.int8)
