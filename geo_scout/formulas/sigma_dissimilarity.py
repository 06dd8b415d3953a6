"""Climate distance read as sigmas of the year-to-year variability: the sigma dissimilarity."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import erfinv, gammainc, gammaln, log_ndtr, ndtri_exp

FloatArray = NDArray[np.float64]

_LOG_2 = np.log(2.0)


def sigma_dissimilarity(distance: ArrayLike, dimensions: int) -> FloatArray:
    """Return the sigma that is as rare in one dimension as the distance is in K dimensions.

    Parameters
    ----------
    distance
        Mahalanobis distance D under the covariance of detrended years at one place, any shape
        [standard deviations].
    dimensions
        K, the number of variables, or of principal components kept where fewer.

    Returns
    -------
    numpy.ndarray
        sigma = chi_1^-1(chi_K(D)), same shape: 0 at D = 0, D itself for K = 1, inf at inf; nan where D is
        nan or negative [sigma].

    Raises
    ------
    ValueError
        ``dimensions`` is below 1.

    Notes
    -----
    A sigma without its K says nothing: D = 3 is 3.00 sigma for one variable and 1.87 for four. Below the
    median the shares below D are used, above it the logarithms of the shares beyond D, so sigma neither
    saturates at D = 8, where 1 - share rounds to 1, nor stops rising at D = 38, where shares underflow;
    at D = 1,000 it is finite and still rises.

    References
    ----------
    Mahony, C.R., Cannon, A.J., Wang, T. & Aitken, S.N. 2017. A closer look at novel climates: new methods
    and insights at continental to landscape scales. Global Change Biology 23, doi 10.1111/gcb.13645.

    Examples
    --------
    >>> sigma_dissimilarity([2.0, 1000.0], 2).round(4).tolist()
    [1.4934, 999.9929]
    """
    if dimensions < 1:
        message = f"{dimensions} dimensions; at least one is needed"
        raise ValueError(message)
    reach = np.asarray(distance, dtype=np.float64)
    known = (reach >= 0) & np.isfinite(reach)
    sigma = np.where(np.isposinf(reach), np.inf, np.nan)
    share_below = gammainc(dimensions / 2, reach[known] ** 2 / 2)
    # Each tail keeps its digits only on its own side of the median.
    is_lower = share_below < 0.5
    beyond = np.zeros(share_below.shape)
    beyond[is_lower] = np.sqrt(2.0) * erfinv(share_below[is_lower])
    beyond[~is_lower] = -ndtri_exp(_log_share_beyond(reach[known][~is_lower], dimensions) - _LOG_2)
    sigma[known] = beyond
    return sigma


def _log_share_beyond(distance: FloatArray, dimensions: int) -> FloatArray:
    """Return ln P(chi_K > D), D > 0.

    chi_K is sqrt of a chi-squared, whose tail Q(K/2, D^2/2) is a finite sum of positive terms for whole K:
    erfc for odd K, or e^-x for even K, plus e^-x x^s / Gamma(s + 1) for s = 1/2 or 1 up to K/2 - 1.
    """
    half_square = distance**2 / 2
    is_odd = dimensions % 2 == 1
    log_sum = _LOG_2 + log_ndtr(-distance) if is_odd else -half_square
    for step in range(1, (dimensions + 1) // 2):
        power = step - 0.5 if is_odd else float(step)
        term = power * np.log(half_square) - half_square - gammaln(power + 1)
        log_sum = np.logaddexp(log_sum, term)
    return log_sum
