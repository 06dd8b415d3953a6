"""How far an agent can be expected to have come: the reach, a share from 1 at the origin to 0."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def reach(
    distance_km: ArrayLike, years: ArrayLike, km_per_yr: float, lag_years: float, max_spread_km: float
) -> FloatArray:
    """Return the reach h(d, t) = exp(-d / a) with a = km_per_yr x max(0, t - lag).

    Parameters
    ----------
    distance_km
        Distance from the origin, edge to edge, broadcast against `years` [km].
    years
        Time since the release; before the lag has passed the agent is at the origin only [yr].
    km_per_yr
        How much the mean distance grows each year [km/yr].
    lag_years
        Years before the spread starts [yr].
    max_spread_km
        Distance beyond which the reach is 0; inf for no limit [km].

    Returns
    -------
    numpy.ndarray
        Reach, broadcast shape: 1 at the origin at any time, 0 beyond `max_spread_km`; nan where distance or
        time is nan [share].

    Notes
    -----
    The reach is not a density: it does not integrate to one, and it is not the chance of presence until it
    is multiplied by the chance that the release established.

    References
    ----------
    Alford, A.M., Kring, T.J. & Raghu, S. 2016. Florida Entomologist 99(4), doi 10.1653/024.099.0402: an
    exponential decay with distance describes the spread of Larinus minutus. The linear growth of the scale
    with time is a plain assumption of this program.

    Examples
    --------
    >>> reach([0.0, 2.0, 9.0], 4.0, km_per_yr=1.0, lag_years=2.0, max_spread_km=8.0).round(4).tolist()
    [1.0, 0.3679, 0.0]
    """
    distance, time = _distance_and_time(distance_km, years)
    scale_km = km_per_yr * np.maximum(0.0, time - lag_years)
    return _decay(distance, scale_km, max_spread_km)


def reach_from_curve(
    distance_km: ArrayLike,
    years: ArrayLike,
    ln_km_per_yr: float,
    ln_km_at_start: float,
    fitted_from_years: float,
    fitted_to_years: float,
    max_spread_km: float,
) -> FloatArray:
    """Return the reach h(d, t) = exp(-ln 2 d / R(t)) for a published distance-time curve R(t).

    Parameters
    ----------
    distance_km
        Distance from the origin, edge to edge, broadcast against `years` [km].
    years
        Time since the release, clamped to the fitted years [yr].
    ln_km_per_yr
        Slope of ln(R / km) with time [1/yr].
    ln_km_at_start
        ln(R / km) at time 0 [ln km].
    fitted_from_years, fitted_to_years
        Span of years the curve was fitted on; outside it the curve says nothing, so its end is used [yr].
    max_spread_km
        Distance beyond which the reach is 0; inf for no limit [km].

    Returns
    -------
    numpy.ndarray
        Reach, broadcast shape: 1 at the origin, 0.5 at R(t), 0 beyond `max_spread_km`; nan where distance
        or time is nan [share].

    Notes
    -----
    That R(t) is where the reach has fallen to one half is this program's reading of such curves. Because of
    the clamp, a release younger than the first fitted year is given the first fitted year's reach.

    Examples
    --------
    >>> reach_from_curve([0.0, 4.55], 3.0, 0.258, 0.741, 1.0, 7.0, 50.0).round(3).tolist()
    [1.0, 0.5]
    """
    distance, time = _distance_and_time(distance_km, years)
    half_km = half_distance_km(time, ln_km_per_yr, ln_km_at_start, fitted_from_years, fitted_to_years)
    return _decay(distance, half_km / np.log(2.0), max_spread_km)


def half_distance_km(
    years: ArrayLike,
    ln_km_per_yr: float,
    ln_km_at_start: float,
    fitted_from_years: float,
    fitted_to_years: float,
) -> FloatArray:
    """Return R(t) = exp(ln_km_per_yr x t + ln_km_at_start), t clamped to the fitted years.

    Parameters
    ----------
    years
        Time since the release [yr].
    ln_km_per_yr
        Slope of ln(R / km) with time [1/yr].
    ln_km_at_start
        ln(R / km) at time 0 [ln km].
    fitted_from_years, fitted_to_years
        Span of years the curve was fitted on [yr].

    Returns
    -------
    numpy.ndarray
        Distance, shape of `years`; nan where the time is nan [km].

    References
    ----------
    Larinus in Wisconsin, 18 sites: ln(km) = 0.258 t + 0.741, Journal of Biological Control
    (informaticsjournals 15760), abstract; the author warns not to use it below one year.

    Examples
    --------
    >>> half_distance_km([1.0, 3.0, 5.0, 7.0], 0.258, 0.741, 1.0, 7.0).round(2).tolist()
    [2.72, 4.55, 7.62, 12.77]
    """
    if not fitted_from_years <= fitted_to_years:
        message = f"the curve's years run from {fitted_from_years} to {fitted_to_years}; the first is later"
        raise ValueError(message)
    time = np.clip(np.asarray(years, dtype=np.float64), fitted_from_years, fitted_to_years)
    return np.asarray(np.exp(ln_km_per_yr * time + ln_km_at_start), dtype=np.float64)


def density_2d(distance_km: ArrayLike, scale_km: float) -> FloatArray:
    """Return the exponential dispersal density that integrates to one over the plane.

    Used in tests only, so that density and reach are never mixed up.

    Parameters
    ----------
    distance_km
        Distance from the origin [km].
    scale_km
        Scale a of exp(-d / a); the mean distance is 2 a [km].

    Returns
    -------
    numpy.ndarray
        exp(-d / a) / (2 pi a^2), shape of `distance_km` [1/km2].

    References
    ----------
    Nathan, R., Klein, E., Robledo-Arnuncio, J.J. & Revilla, E. 2012. Dispersal kernels: review. In:
    Dispersal Ecology and Evolution, Table 15.1 (from memory).
    """
    distance = np.asarray(distance_km, dtype=np.float64)
    return np.asarray(np.exp(-distance / scale_km) / (2.0 * np.pi * scale_km**2), dtype=np.float64)


def _distance_and_time(distance_km: ArrayLike, years: ArrayLike) -> tuple[FloatArray, FloatArray]:
    distance, time = np.broadcast_arrays(
        np.asarray(distance_km, dtype=np.float64), np.asarray(years, dtype=np.float64)
    )
    if (distance < 0).any():
        message = f"a distance is negative ({distance.min()} km)"
        raise ValueError(message)
    return distance, time


def _decay(distance: FloatArray, scale_km: FloatArray, max_spread_km: float) -> FloatArray:
    moves = scale_km > 0
    with np.errstate(over="ignore"):  # a scale next to nothing: infinitely many scales away
        ratio = np.divide(distance, scale_km, out=np.full(distance.shape, np.inf), where=moves)
    share = np.asarray(np.exp(-ratio), dtype=np.float64)
    share[distance > max_spread_km] = 0.0
    share[distance == 0] = 1.0
    share[np.isnan(distance) | np.isnan(scale_km)] = np.nan
    return share
