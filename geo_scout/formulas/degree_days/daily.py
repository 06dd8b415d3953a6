"""Degree-days of each day from its lowest and highest temperature."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.degree_days.day_curves import LEVEL, SINE, TRIANGLE, TWO_LEVELS, DayCurve
from geo_scout.model.heat_model import HeatModel, Method

FloatArray = NDArray[np.float64]

_CURVES: dict[Method, DayCurve] = {
    "simple_average": LEVEL,
    "clipped_average": TWO_LEVELS,
    "single_sine": SINE,
    "double_sine": SINE,
    "single_triangle": TRIANGLE,
    "double_triangle": TRIANGLE,
}
_BY_HALF_DAYS: tuple[Method, ...] = ("double_sine", "double_triangle")


def daily_degree_days(
    tmin_degc: ArrayLike, tmax_degc: ArrayLike, model: HeatModel, next_tmin_degc: ArrayLike | None = None
) -> FloatArray:
    """Return the degree-days of every day at every site.

    Parameters
    ----------
    tmin_degc, tmax_degc
        Lowest and highest temperature of each day, (days, n) or (days,) [degC].
    model
        Thresholds, method and cutoff.
    next_tmin_degc
        Lowest temperature of the day after the last, shape of one day; the double methods need it. By
        default the last day's own minimum is used again [degC].

    Returns
    -------
    numpy.ndarray
        Degree-days, shape of `tmin_degc`, never negative [degC days]. nan where a needed temperature is
        nan; the double methods also need the next day's minimum.

    Raises
    ------
    ValueError
        If shapes differ, or a day's minimum is above its maximum.

    Notes
    -----
    With A(T) the area above T, F(T) the share of the day above T, L the base and U the upper threshold: no
    cutoff A(L); horizontal A(L) - A(U); vertical A(L) - A(U) - F(U) (U - L); intermediate A(L) - 2 A(U), and
    never below the vertical value. That floor is not in the references; published outputs of single days
    follow it. The double methods do all this for each half of the day, the second half from the day's maximum
    to the next day's minimum, and average the two. Cutoffs of the two averages follow from the same rule;
    McMaster & Wilhelm use the horizontal one only.

    References
    ----------
    Baskerville, G.L. & Emin, P. 1969. Ecology 50:514-517. Allen, J.C. 1976. Environmental Entomology
    5:388-396. Zalom, F.G. et al. 1983. Degree-days. University of California leaflet 21373. McMaster, G.S.
    & Wilhelm, W.W. 1997. Agricultural and Forest Meteorology 87:291-300.

    Examples
    --------
    >>> from geo_scout.model.heat_model import MonthDay
    >>> model = HeatModel(10.0, "degc", "single_triangle", MonthDay(1, 1))
    >>> daily_degree_days([0.0, 12.0], [20.0, 18.0], model).tolist()
    [2.5, 5.0]
    """
    tmin, tmax = np.asarray(tmin_degc, dtype=np.float64), np.asarray(tmax_degc, dtype=np.float64)
    _check(tmin, tmax)
    first = _with_cutoff(tmin, tmax, model)
    if model.method not in _BY_HALF_DAYS or not len(tmin):
        return first
    last = tmin[-1:] if next_tmin_degc is None else np.asarray(next_tmin_degc, dtype=np.float64)[None]
    following = np.concatenate([tmin[1:], last])
    # A warm front can make the next minimum the higher end of the half-day.
    second = _with_cutoff(np.minimum(tmax, following), np.maximum(tmax, following), model)
    first += second
    first *= 0.5
    return first


def _with_cutoff(low: FloatArray, high: FloatArray, model: HeatModel) -> FloatArray:
    curve, base, upper = _CURVES[model.method], model.base_degc, model.upper_degc
    heat = curve.area(low, high, base)
    if upper is None:
        return heat
    over = curve.area(low, high, upper)
    heat -= over
    np.maximum(heat, 0.0, out=heat)
    if model.cutoff == "horizontal":
        return heat
    vertical = np.maximum(heat - curve.share(low, high, upper) * (upper - base), 0.0)
    return vertical if model.cutoff == "vertical" else np.maximum(heat - over, vertical)


def _check(tmin: FloatArray, tmax: FloatArray) -> None:
    if tmin.shape != tmax.shape or tmin.ndim not in (1, 2):
        message = f"tmin has shape {tmin.shape} and tmax {tmax.shape}; both must be (days,) or (days, sites)"
        raise ValueError(message)
    inverted = tmin > tmax
    if inverted.any():
        place = tuple(int(index) for index in np.argwhere(inverted)[0])
        message = (
            f"tmin is above tmax in {int(inverted.sum())} places, first at {place}: "
            f"{tmin[place]} and {tmax[place]} degC"
        )
        raise ValueError(message)
