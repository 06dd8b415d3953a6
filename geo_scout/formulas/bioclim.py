"""The nineteen bioclimatic variables from monthly normals."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.model.bioclim_convention import STANDARD, BioclimConvention

FloatArray = NDArray[np.float64]

_MONTHS_PER_QUARTER = 3
# Quarters that differ by less than this (degC or mm) count as equal, so that rounding breaks no tie.
_TIE_DECIMALS = 6


def bioclim(
    tmin_degc: ArrayLike,
    tmax_degc: ArrayLike,
    precipitation_mm: ArrayLike,
    *,
    convention: BioclimConvention = STANDARD,
) -> dict[str, FloatArray]:
    """Return the nineteen bioclimatic variables of n places.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Monthly means of the daily minimum and maximum, January to December, (12, n) [degC].
    precipitation_mm
        Monthly totals, (12, n) [mm].
    convention
        Divisor of standard deviations, precipitation + 1 mm in bio15, and which months may be a quarter;
        published programs differ in these three.

    Returns
    -------
    dict of numpy.ndarray
        "bio01" to "bio19", each (n,): bio01 annual mean, bio02 mean of tmax - tmin [degC]; bio03 100 bio02 /
        bio07 [pct]; bio04 100 x standard deviation of the monthly means [0.01 degC]; bio05 highest tmax,
        bio06 lowest tmin, bio07 bio05 - bio06, bio08 to bio11 mean temperature of the wettest, driest,
        warmest, coldest quarter [degC]; bio12 annual total, bio13 wettest, bio14 driest month [mm]; bio15
        100 x standard deviation / mean of the monthly totals [pct]; bio16 to bio19 total of the wettest,
        driest, warmest, coldest quarter [mm]. A value is nan where any month it needs is nan, and where it
        would divide by zero.

    Notes
    -----
    A month's mean is (tmin + tmax) / 2. A quarter is three consecutive months, by default also across New
    Year, so that the warmest quarter of the southern hemisphere is not cut in two. Of equal quarters (to
    six decimals of a degree or millimetre) the one that starts earliest in the calendar year is taken, all
    four times; that decides bio08, bio09, bio18 and bio19 where rain or warmth are even.

    References
    ----------
    O'Donnell, M.S. & Ignizio, D.A. 2012. Bioclimatic predictors for supporting ecological applications in
    the conterminous United States. USGS Data Series 691.

    Examples
    --------
    >>> warm_half = np.array([0, 0, 0, 10, 10, 10, 10, 10, 10, 0, 0, 0.0])[:, None]
    >>> values = bioclim(warm_half, warm_half + 8, np.full((12, 1), 30.0))
    >>> values["bio01"].tolist(), values["bio07"].tolist(), values["bio12"].tolist()
    ([9.0], [18.0], [360.0])
    """
    tmin = _twelve_months(tmin_degc, "tmin_degc")
    tmax = _twelve_months(tmax_degc, "tmax_degc")
    rain = _twelve_months(precipitation_mm, "precipitation_mm")
    if not tmin.shape == tmax.shape == rain.shape:
        message = f"the three arrays differ in shape: {tmin.shape}, {tmax.shape}, {rain.shape}"
        raise ValueError(message)
    return {
        **_of_temperature(tmin, tmax, convention),
        **_of_precipitation(rain, convention),
        **_of_quarters((tmin + tmax) / 2, rain, convention.quarter_starts),
    }


def _of_temperature(
    tmin: FloatArray, tmax: FloatArray, convention: BioclimConvention
) -> dict[str, FloatArray]:
    mean = (tmin + tmax) / 2
    day_range = (tmax - tmin).mean(axis=0)
    highest, lowest = tmax.max(axis=0), tmin.min(axis=0)
    return {
        "bio01": mean.mean(axis=0),
        "bio02": day_range,
        "bio03": _percent(day_range, highest - lowest),
        "bio04": 100.0 * mean.std(axis=0, ddof=convention.ddof),
        "bio05": highest,
        "bio06": lowest,
        "bio07": highest - lowest,
    }


def _of_precipitation(rain: FloatArray, convention: BioclimConvention) -> dict[str, FloatArray]:
    added_mm = 1.0 if convention.precipitation_plus_one else 0.0
    return {
        "bio12": rain.sum(axis=0),
        "bio13": rain.max(axis=0),
        "bio14": rain.min(axis=0),
        "bio15": _percent(rain.std(axis=0, ddof=convention.ddof), rain.mean(axis=0) + added_mm),
    }


def _of_quarters(mean: FloatArray, rain: FloatArray, starts: tuple[int, ...]) -> dict[str, FloatArray]:
    warmth = _quarter_sums(mean, starts) / _MONTHS_PER_QUARTER
    wetness = _quarter_sums(rain, starts)
    wettest, driest = _first_extremes(wetness)
    warmest, coldest = _first_extremes(warmth)
    has_both = ~(np.isnan(warmth).any(axis=0) | np.isnan(wetness).any(axis=0))
    chosen = {
        "bio08": (warmth, wettest),
        "bio09": (warmth, driest),
        "bio10": (warmth, warmest),
        "bio11": (warmth, coldest),
        "bio16": (wetness, wettest),
        "bio17": (wetness, driest),
        "bio18": (wetness, warmest),
        "bio19": (wetness, coldest),
    }
    needs_one = {"bio10": warmth, "bio11": warmth, "bio16": wetness, "bio17": wetness}
    values = {}
    for name, (quarters, which) in chosen.items():
        known = ~np.isnan(needs_one[name]).any(axis=0) if name in needs_one else has_both
        values[name] = np.where(known, np.take_along_axis(quarters, which[None, :], axis=0)[0], np.nan)
    return values


def _quarter_sums(monthly: FloatArray, starts: tuple[int, ...]) -> FloatArray:
    sums: FloatArray = monthly + np.roll(monthly, -1, axis=0) + np.roll(monthly, -2, axis=0)
    return sums[list(starts)]


def _first_extremes(quarters: FloatArray) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    rounded = np.round(quarters, _TIE_DECIMALS)
    return rounded.argmax(axis=0), rounded.argmin(axis=0)


def _percent(part: FloatArray, whole: FloatArray) -> FloatArray:
    share: FloatArray = np.divide(part, whole, out=np.full(part.shape, np.nan), where=whole != 0)
    return 100.0 * share


def _twelve_months(values: ArrayLike, name: str) -> FloatArray:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 2 or array.shape[0] != 12:
        message = f"{name} has shape {array.shape}; twelve rows of months are needed"
        raise ValueError(message)
    return array
