"""How temperature falls with height: the rule for fitting it, the rates, and climate brought to a site."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LapseRateRule:
    """When rates are fitted, what is used otherwise, and from where on a correction is doubtful.

    Parameters
    ----------
    window_km
        Climate cells up to this far from the site are used (our choice: wide enough for some 30 cells of a
        5-minute map, narrow enough that latitude and sea do not enter) [km].
    least_cells
        Cells a fit needs (our choice).
    least_relief_m
        Highest less lowest of these cells that a fit needs. Heights even over 300 m have a standard
        deviation of 87 m; thirty cells that scatter by 0.5 degC then give a rate to within about
        0.5 / (0.087 sqrt 30) = 1 degC per km (our choice) [m].
    least_degc_per_km, most_degc_per_km
        A site with a fitted rate beyond these takes the default: dry air cannot cool by more than 9.8 degC
        per km for long (textbook physics, from memory), and an inversion steeper than 10 degC per km is a
        valley's, not a mountainside's (our choice) [degC/km].
    default_tmax_degc_per_km
        Used in every month where nothing can be fitted: 6.5 fits daily maxima and grossly overstates minima
        (Blandford et al. 2008, as cited with Minder, Mote & Lundquist 2010) [degC/km].
    default_tmin_degc_per_km
        Likewise: the middle of 2.5-3.5, late-summer minima on the windward Cascades (Minder et al. 2010);
        with 6.5 it makes a mean of 4.75, inside their annual 3.9-5.2. No source gives all months [degC/km].
    large_degc
        A correction beyond this in any month is marked (our choice) [degC].
    valley_window_km, valley_below_m
        A site lying this much below the mean height of the climate cells up to this far is marked as a
        valley floor: cold air gathers there and no lapse rate holds for its minima (our choice) [km, m].

    References
    ----------
    Minder, J.R., Mote, P.W. & Lundquist, J.D. 2010. Surface temperature lapse rates over complex terrain:
    lessons from the Cascade Mountains. Journal of Geophysical Research 115, D14122,
    doi 10.1029/2009JD013493.
    """

    window_km: float = 30.0
    least_cells: int = 30
    least_relief_m: float = 300.0
    least_degc_per_km: float = -10.0
    most_degc_per_km: float = 10.0
    default_tmin_degc_per_km: float = 3.0
    default_tmax_degc_per_km: float = 6.5
    large_degc: float = 3.0
    valley_window_km: float = 10.0
    valley_below_m: float = 150.0


class RateSource(IntEnum):
    """Where the rates of a site come from; all but the first are the default rates."""

    FITTED = 0
    TOO_FEW_CELLS = 1
    TOO_LITTLE_RELIEF = 2
    IMPLAUSIBLE = 3


@dataclass(frozen=True, slots=True, eq=False)
class ClimateCells:
    """Cells of the climate grid with their own elevation, in the plane the sites are in.

    Parameters
    ----------
    easting_m, northing_m
        (cells,) centres [m].
    elevation_m
        (cells,) elevation the climate map itself was made with, or the mean over the cell [m].
    tmin_degc, tmax_degc
        (12, cells) monthly means of the daily minimum and maximum [degC].
    """

    easting_m: FloatArray
    northing_m: FloatArray
    elevation_m: FloatArray
    tmin_degc: FloatArray
    tmax_degc: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class LapseRates:
    """Monthly rates at n sites: above 0 where it gets colder with height.

    Parameters
    ----------
    tmin_degc_per_km, tmax_degc_per_km
        (12, n), January to December [degC/km].
    source
        (n,) `RateSource`.
    cells
        (n,) climate cells in the window.
    lowest_m, highest_m
        (n,) of these cells; nan where there is none [m].
    nearby_mean_m
        (n,) mean height of the cells in the narrower valley window; nan where there are fewer than three [m].
    """

    tmin_degc_per_km: FloatArray
    tmax_degc_per_km: FloatArray
    source: NDArray[np.int8]
    cells: NDArray[np.int64]
    lowest_m: FloatArray
    highest_m: FloatArray
    nearby_mean_m: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class ElevationCorrection:
    """Monthly temperatures of n sites, brought from the height of their climate cells to their own.

    Parameters
    ----------
    tmin_degc, tmax_degc
        (12, n) corrected; as they came where no correction could be made [degC].
    tmin_correction_degc, tmax_correction_degc
        (12, n) what was added; 0 where none could be made [degC].
    rise_m
        (n,) site less climate cells; nan where either height is missing [m].
    rates
        The rates used and where they come from.
    is_corrected
        (n,) False where a height is missing.
    is_large
        (n,) some month was corrected by more than the rule's `large_degc`.
    is_valley_floor
        (n,) the site lies so far below its surroundings that its minima may be colder than any rate says.
    is_beyond_cells
        (n,) the site is lower or higher than every climate cell around it: the rate is stretched.
    is_crossed
        (n,) in some month the minimum came out above the maximum; both then are their mean.
    """

    tmin_degc: FloatArray
    tmax_degc: FloatArray
    tmin_correction_degc: FloatArray
    tmax_correction_degc: FloatArray
    rise_m: FloatArray
    rates: LapseRates
    is_corrected: NDArray[np.bool_]
    is_large: NDArray[np.bool_]
    is_valley_floor: NDArray[np.bool_]
    is_beyond_cells: NDArray[np.bool_]
    is_crossed: NDArray[np.bool_]


STANDARD_LAPSE_RULE = LapseRateRule()
