"""Positions on the UTM grid: easting, northing and the zone, as people write it, become degrees."""

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS
from pyproj.crs import ProjectedCRS
from pyproj.crs.coordinate_operation import UTMConversion

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.cells.text_values import Texts

FloatArray = NDArray[np.float64]

BANDS = "CDEFGHJKLMNPQRSTUVWX"
# Band S reaches from 32 to 40 degrees north; with room to spare, these are its northings.
_BAND_S_NORTHING_M = (3_500_000.0, 4_480_000.0)
_BAND_SLACK_DEG = 0.1
_EASTING_M, _NORTHING_M = (0.0, 1_000_000.0), (0.0, 10_000_000.0)
_ZONE = re.compile(rf"(?:UTM)?\s*(?:ZONE)?\s*([0-9]{{1,2}})\s*(NORTH|SOUTH|[{BANDS}]?)")


@dataclass(frozen=True)
class Zone:
    """One zone as written: its number, hemisphere and band letter, or what is wrong with it."""

    number: int = 0
    is_south: bool = False
    band: str = ""
    problem: str = ""


def read_utm(
    easting_m: FloatArray, northing_m: FloatArray, zones: Texts, datum: CRS
) -> tuple[FloatArray, FloatArray, Texts]:
    """Return longitude, latitude and what is wrong with each row that cannot be read without a guess.

    Parameters
    ----------
    easting_m, northing_m
        Grid coordinates, (n,), nan where missing [m].
    zones
        Zone texts, (n,): "12N", "12 north", "12T" (T is a latitude band of the military grid).
    datum
        The geographic system the zones are of.

    Returns
    -------
    longitude_deg, latitude_deg, problems
        In the geographic system [deg]; nan where there is a problem or a value is missing.
    """
    read = read_zones(zones, northing_m)
    problems = np.full(len(zones), "", dtype=object)
    problems[:] = [zone.problem for zone in read]
    _check_ranges(easting_m, northing_m, problems)
    longitude_deg, latitude_deg = np.full(len(zones), np.nan), np.full(len(zones), np.nan)
    usable = (problems == "") & ~np.isnan(easting_m + northing_m)
    keys = np.array([(zone.number, zone.is_south) for zone in read], dtype=np.int64).reshape(-1, 2)
    for number, is_south in sorted({(int(a), bool(b)) for a, b in keys[usable]}):
        rows = usable & (keys[:, 0] == number) & (keys[:, 1] == is_south)
        to_degrees = transformer_between(zone_crs(number, is_south, datum), datum)
        longitude_deg[rows], latitude_deg[rows] = to_degrees.transform(easting_m[rows], northing_m[rows])
    _check_bands(read, latitude_deg, problems)
    outside = problems != ""
    longitude_deg[outside] = latitude_deg[outside] = np.nan
    return longitude_deg, latitude_deg, problems


def zone_crs(number: int, is_south: bool, datum: CRS) -> CRS:
    """Return the projected system of a UTM zone on a datum."""
    conversion = UTMConversion(str(number), "S" if is_south else "N")
    return ProjectedCRS(conversion, geodetic_crs=datum)


def other_zones(zones: Texts, northing_m: FloatArray, crs: CRS) -> Texts:
    """Return what is wrong with each row whose zone is not that of a projected system, "" elsewhere."""
    problems = np.full(len(zones), "", dtype=object)
    own = crs.utm_zone or ""
    for at, zone in enumerate(read_zones(zones, northing_m)):
        named = f"{zone.number}{'S' if zone.is_south else 'N'}"
        problems[at] = zone.problem or ("" if named == own else f"is not the zone of {crs.name}")
    return problems


def read_zones(zones: Texts, northing_m: FloatArray) -> list[Zone]:
    """Return each zone; its letter is a band where the column holds letters that can be nothing else.

    "12S" is the southern hemisphere or, on the military grid, band S in the north. The column's other
    letters decide, or a northing that band S does not have; otherwise the row is not read.

    Examples
    --------
    >>> zones = np.array(["12T", "12S", "12"], dtype=object)
    >>> [(zone.is_south, zone.band, zone.problem) for zone in read_zones(zones, np.full(3, 4e6))]
    [(False, 'T', ''), (False, 'S', ''), (False, '', 'names no hemisphere')]
    """
    found = [_ZONE.fullmatch(text.upper().strip()) for text in zones]
    letters = {match[2] for match in found if match is not None and len(match[2]) == 1}
    has_bands = bool(letters - {"N", "S"})
    return [
        _zone(text, match, float(north), has_bands=has_bands)
        for text, match, north in zip(zones, found, northing_m, strict=True)
    ]


def _zone(text: str, match: re.Match[str] | None, northing_m: float, *, has_bands: bool) -> Zone:
    if not text:
        return Zone(problem="has no zone")
    number = int(match[1]) if match is not None else 0
    if match is None or not 1 <= number <= 60:
        return Zone(problem="is no UTM zone; zones run from 1 to 60, with a hemisphere")
    letter = match[2]
    if not letter:
        return Zone(problem="names no hemisphere")
    if len(letter) > 1:
        return Zone(number, is_south=letter == "SOUTH")
    if has_bands or letter not in "NS":
        return Zone(number, is_south=letter < "N", band=letter)
    if letter == "S" and _BAND_S_NORTHING_M[0] <= northing_m <= _BAND_S_NORTHING_M[1]:
        return Zone(problem="may be the southern hemisphere, or band S, 32 to 40 degrees north")
    return Zone(number, is_south=letter == "S")


def _check_ranges(easting_m: FloatArray, northing_m: FloatArray, problems: Texts) -> None:
    is_east, is_north = _within(easting_m, _EASTING_M), _within(northing_m, _NORTHING_M)
    wrong = (problems == "") & ~(is_east & is_north) & ~np.isnan(easting_m + northing_m)
    swapped = wrong & _within(northing_m, _EASTING_M) & _within(easting_m, _NORTHING_M)
    problems[wrong] = (
        "has a place outside its zone: eastings are 0 to 1,000,000 m, northings 0 to 10,000,000 m"
    )
    problems[swapped] = "has easting and northing that look swapped"


def _within(values: FloatArray, limits: tuple[float, float]) -> NDArray[np.bool_]:
    return np.asarray((values >= limits[0]) & (values <= limits[1]), dtype=bool)


def _check_bands(read: list[Zone], latitude_deg: FloatArray, problems: Texts) -> None:
    for at, zone in enumerate(read):
        if not zone.band or np.isnan(latitude_deg[at]):
            continue
        south = -80.0 + 8.0 * BANDS.index(zone.band)
        north = 84.0 if zone.band == "X" else south + 8.0
        if not south - _BAND_SLACK_DEG <= latitude_deg[at] <= north + _BAND_SLACK_DEG:
            problems[at] = (
                f"says band {zone.band} ({south:g} to {north:g} degrees), but the northing lies at "
                f"{latitude_deg[at]:.1f} degrees"
            )
