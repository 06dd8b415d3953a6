"""References on the military grid (MGRS) become degrees: the middle of the square they name."""

import re

import mgrs.core  # type: ignore[import-untyped, unused-ignore]
import numpy as np
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.layers.cells.text_values import Texts
from geo_scout.layers.places.utm_positions import BANDS, read_utm

FloatArray = NDArray[np.float64]

_REFERENCE = re.compile(rf"([0-9]{{1,2}})([{BANDS}])([A-HJ-NP-Z]{{2}})([0-9]*)")
_GRID_M = 100_000.0
_FEWEST_DIGITS = 4
"""A square of 1 km; a larger one names no place that can be scouted."""


def read_grid_references(references: Texts, datum: CRS) -> tuple[FloatArray, FloatArray, FloatArray, Texts]:
    """Return longitude, latitude, half the square's diagonal, and what is wrong with each reference.

    Parameters
    ----------
    references
        Text, (n,), for instance "12T VT 12345 67890"; spaces and capitals do not matter.
    datum
        The geographic system of the grid: WGS 84 unless the season says otherwise.

    Returns
    -------
    longitude_deg, latitude_deg
        Middle of the square, nan where missing or unreadable [deg].
    error_m
        Half the diagonal of the square: how far its corners are from the middle [m].
    problems
        "" where nothing is wrong.

    References
    ----------
    NGA.STND.0037, Universal Grids and Grid Reference Systems, 2014: a reference names the square of its
    digits, whose south-west corner it gives.
    """
    problems = np.full(len(references), "", dtype=object)
    easting_m, northing_m, error_m = (np.full(len(references), np.nan) for _ in range(3))
    zones = np.full(len(references), "", dtype=object)
    grid = mgrs.MGRS()
    for at, text in enumerate(references):
        if not text:
            continue
        plain = re.sub(r"[\s,.-]+", "", text.upper())
        problems[at] = _doubt(plain)
        if problems[at]:
            continue
        try:
            number, hemisphere, east, north = grid.MGRSToUTM(plain)
        except mgrs.core.MGRSError:
            problems[at] = "names no square of the grid"
            continue
        side_m = _GRID_M / 10 ** (len(_digits(plain)) // 2)
        # Releases of the library give the corner or the middle of the square: both lie in it.
        easting_m[at], northing_m[at] = (_middle(value, side_m) for value in (east, north))
        error_m[at] = side_m / np.sqrt(2.0)
        zones[at] = f"{number} {'SOUTH' if hemisphere == 'S' else 'NORTH'}"
    longitude_deg, latitude_deg, beyond = read_utm(easting_m, northing_m, zones, datum)
    lost = (problems == "") & (references != "") & (beyond != "")
    problems[lost] = beyond[lost]
    return longitude_deg, latitude_deg, error_m, problems


def _digits(plain: str) -> str:
    found = _REFERENCE.fullmatch(plain)
    return found[4] if found is not None else ""


def _doubt(plain: str) -> str:
    found = _REFERENCE.fullmatch(plain)
    if found is None or not 1 <= int(found[1]) <= 60:
        return "is no reference like 12T VT 12345 67890"
    digits = len(found[4])
    if digits % 2:
        return f"has {digits} digits; easting and northing take as many each"
    if digits > 10:
        return f"has {digits} digits; ten name a metre"
    if digits < _FEWEST_DIGITS:
        return f"names a square of {10 if digits else 100} km, which is no place to go to"
    return ""


def _middle(value_m: float, side_m: float) -> float:
    # A corner may come back a hair below its whole metre.
    return float(np.floor(value_m / side_m + 1e-6) * side_m + side_m / 2.0)
