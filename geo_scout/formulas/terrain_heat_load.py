"""Heat load of a slope from steepness, aspect and latitude."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
Equation = Literal[1, 2, 3]

WARMEST_NORTH_DEG, WARMEST_SOUTH_DEG = 225.0, 315.0
"""Aspect with the highest heat load: south-west, and north-west south of the equator [deg]."""


@dataclass(frozen=True, slots=True)
class _Fit:
    """One of the three equations: its terms, and what it was fitted on."""

    constant: float
    cos_latitude_cos_slope: float
    cos_aspect_sin_slope_sin_latitude: float
    sin_latitude_sin_slope: float
    sin_aspect_sin_slope: float
    cos_aspect_sin_slope: float
    is_logarithm: bool
    latitude_deg: tuple[float, float]
    slope_deg: tuple[float, float]


_FITS: dict[Equation, _Fit] = {
    1: _Fit(-1.467, 1.582, -1.500, -0.262, 0.607, 0.0, True, (0.0, 60.0), (0.0, 90.0)),
    2: _Fit(-1.236, 1.350, -1.376, -0.331, 0.375, 0.0, True, (0.0, 60.0), (0.0, 60.0)),
    3: _Fit(0.339, 0.808, 0.0, -0.196, 0.0, -0.482, False, (30.0, 60.0), (0.0, 60.0)),
}


def heat_load(
    slope_deg: ArrayLike, aspect_deg: ArrayLike, latitude_deg: ArrayLike, equation: Equation = 3
) -> FloatArray:
    """Return the heat load of ground, with the afternoon side the warmer one.

    Parameters
    ----------
    slope_deg
        Steepness [deg].
    aspect_deg
        Compass direction of the fall; any number, for example -1, on flat ground, where it does not
        matter [deg].
    latitude_deg
        Latitude, negative south of the equator; broadcast with the others [deg].
    equation
        1 holds for latitudes 0 to 60 and every slope; 2 for latitudes 0 to 60 and slopes to 60; 3, our choice
        where none is named, for latitudes 30 to 60 and slopes to 60, all in degrees.

    Returns
    -------
    numpy.ndarray
        Heat load; nan where an input is nan or outside what the equation holds for
        (``heat_load_holds`` tells the two apart) [MJ/cm2/yr, as an index].

    Notes
    -----
    The paper gives equations for the potential annual direct incident radiation, symmetric about the
    north-south line. Folding the aspect about the north-east to south-west line instead makes the index
    of heat load. By equation 3 it is highest on south-west slopes; the sine of the aspect in 1 and 2
    puts their highest values some 30 degrees to both sides of it. South of the equator the fold is about
    the south-east to north-west line and the latitude is taken without its sign: our mirror image of the
    paper's northern fit. Clouds, neighbouring hills and the air are not in it; compare sites of one region.

    References
    ----------
    McCune, B. & Keon, D. 2002. Equations for potential annual direct incident radiation and heat load.
    Journal of Vegetation Science 13: 603-606, equations 1 to 3.

    Examples
    --------
    >>> heat_load([0.0, 30.0, 30.0], [-1.0, 0.0, 180.0], 40.0).round(4).tolist()
    [0.958, 0.6416, 0.9825]
    """
    fit = _FITS[equation]
    slope, aspect, latitude = (
        np.asarray(one, dtype=np.float64) for one in (slope_deg, aspect_deg, latitude_deg)
    )
    warmest = np.where(latitude < 0, WARMEST_SOUTH_DEG, WARMEST_NORTH_DEG)
    folded = np.radians(np.abs(180.0 - np.abs(aspect - warmest)))
    latitude_rad, slope_rad = np.radians(np.abs(latitude)), np.radians(slope)
    sin_latitude, sin_slope = np.sin(latitude_rad), np.sin(slope_rad)
    load = (
        fit.constant
        + fit.cos_latitude_cos_slope * np.cos(latitude_rad) * np.cos(slope_rad)
        + fit.cos_aspect_sin_slope_sin_latitude * np.cos(folded) * sin_slope * sin_latitude
        + fit.sin_latitude_sin_slope * sin_latitude * sin_slope
        + fit.sin_aspect_sin_slope * np.sin(folded) * sin_slope
        + fit.cos_aspect_sin_slope * np.cos(folded) * sin_slope
    )
    if fit.is_logarithm:
        load = np.exp(load)
    return np.where(heat_load_holds(slope, latitude, equation), load, np.nan)


def heat_load_holds(
    slope_deg: ArrayLike, latitude_deg: ArrayLike, equation: Equation = 3
) -> NDArray[np.bool_]:
    """Return where slope and latitude are within what an equation of heat load was fitted on.

    Parameters
    ----------
    slope_deg, latitude_deg
        Steepness and latitude of either hemisphere, broadcast; False where nan [deg].
    equation
        As for ``heat_load``.

    Examples
    --------
    >>> heat_load_holds([0.0, 75.0, 45.0], [61.0, 40.0, -40.0]).tolist()
    [False, False, True]
    """
    fit = _FITS[equation]
    slope = np.asarray(slope_deg, dtype=np.float64)
    latitude = np.abs(np.asarray(latitude_deg, dtype=np.float64))
    with np.errstate(invalid="ignore"):
        within = (latitude >= fit.latitude_deg[0]) & (latitude <= fit.latitude_deg[1])
        within = within & (slope >= fit.slope_deg[0]) & (slope <= fit.slope_deg[1])
    return np.asarray(within, dtype=np.bool_)
