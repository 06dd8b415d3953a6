"""Positions as text against pyproj and the mgrs library, on random places all over the Earth.

Each place is written by the other library, in many spellings, and read back by ours. Places lie in both
hemispheres, on both sides of every zone's edge, and in the wide zones of Norway and Svalbard.
"""

from functools import cache

import mgrs
import numpy as np
import pytest
from pyproj import CRS, Geod, Transformer
from pyproj.database import query_utm_crs_info

from geo_scout.layers.places.angles import read_angles
from geo_scout.layers.places.grid_references import read_grid_references
from geo_scout.layers.places.utm_positions import BANDS, read_utm

pytestmark = pytest.mark.slow

WGS84 = CRS.from_epsg(4326)
GEOD = Geod(ellps="WGS84")
GENERATOR = np.random.default_rng(1909)
PLACES = 600


def places(number=PLACES):
    """Return random longitudes and latitudes of the UTM grid, a third of them within 2 m of a zone's edge."""
    longitude = GENERATOR.uniform(-180.0, 180.0, number)
    edges = 6.0 * np.round(longitude / 6.0)
    beside = GENERATOR.uniform(-2e-5, 2e-5, number)
    near = np.arange(number) % 3 == 0
    longitude = np.where(near, np.clip(edges + beside, -180.0, 179.99999), longitude)
    return longitude, GENERATOR.uniform(-79.9, 83.9, number)


def objects(values):
    array = np.empty(len(values), dtype=object)
    array[:] = list(values)
    return array


def parts(value):
    """Return degrees, minutes and seconds of an angle, seconds to a hundred-thousandth, carried over."""
    units = round(abs(value) * 3600 * 100_000)
    seconds, below = divmod(units, 100_000)
    minutes, seconds = divmod(seconds, 60)
    degrees, minutes = divmod(minutes, 60)
    return degrees, minutes, seconds + below / 100_000


SPELLINGS = {
    "marks": "{d}°{m:02d}'{s:08.5f}\"{letter}",
    "typeset marks": "{d}° {m}\N{PRIME} {s:.5f}\N{DOUBLE PRIME} {letter}",
    "spaces": "{d} {m} {s:.5f} {letter}",
    "letter first": "{letter}{d} {m} {s:.5f}",
    "colons and sign": "{sign}{d}:{m:02d}:{s:08.5f}",
    "spaces and sign": "{sign}{d} {m} {s:.5f}",
    "letters": "{d}d{m}m{s:.5f}s{letter}",
    "hyphens": "{d}-{m:02d}-{s:.5f}{letter}",
    "decimal comma": "{d}° {m}' {s:.5f}\" {letter}",
    "minutes": "{letter} {d}° {minutes:.9f}'",
    "minutes without marks": "{d} {minutes:.9f} {letter}",
    "degrees with a mark": "{degrees:.11f}° {letter}",
}


def spelt(spelling, value, letters):
    d, m, s = parts(value)
    sign, letter = "-" if value < 0 else "", letters[int(value >= 0)]
    minutes = m + s / 60
    text = SPELLINGS[spelling].format(
        d=d, m=m, s=s, sign=sign, letter=letter, minutes=minutes, degrees=d + minutes / 60
    )
    return text.replace(".", ",") if spelling == "decimal comma" else text


@pytest.mark.parametrize("spelling", SPELLINGS)
@pytest.mark.parametrize(("axis", "letters"), [("longitude", "WE"), ("latitude", "SN")])
def test_degrees_minutes_and_seconds(spelling, axis, letters):
    values = places()[0 if axis == "longitude" else 1]
    texts = [spelt(spelling, value, letters) for value in values]
    degrees, problems = read_angles(objects(texts), axis)
    assert set(problems.tolist()) == {""}
    # Written to 1e-5 of a second, which is 0.3 mm; 60 seconds carried over are as good as the next minute.
    assert np.abs(degrees - values).max() < 2e-9 + 0.5e-5 / 3600


@cache
def zones():
    """Return code and bounds of each zone, as PROJ's own database has them."""
    infos = [info for info in query_utm_crs_info(datum_name="WGS 84") if info.area_of_use]
    return [(int(info.code), info.area_of_use) for info in infos]


def zone_of(longitude_deg, latitude_deg):
    return next(
        code
        for code, area in zones()
        if area.west <= longitude_deg <= area.east and area.south <= latitude_deg <= area.north
    )


@cache
def to_zone(code):
    return Transformer.from_crs(4326, code, always_xy=True)


def metres_in_zones(longitude, latitude):
    codes = [zone_of(east, north) for east, north in zip(longitude, latitude, strict=True)]
    pairs = zip(codes, longitude, latitude, strict=True)
    return codes, np.array([to_zone(code).transform(east, north) for code, east, north in pairs])


def apart_m(longitude, latitude, read_longitude, read_latitude):
    return GEOD.inv(longitude, latitude, read_longitude, read_latitude)[2]


def test_utm_with_hemisphere_words():
    longitude, latitude = places(300)
    codes, metres = metres_in_zones(longitude, latitude)
    words = [f"{code % 100} {'north' if code < 32700 else 'South'}" for code in codes]
    read = read_utm(metres[:, 0], metres[:, 1], objects(words), WGS84)
    assert set(read[2].tolist()) == {""}
    assert apart_m(longitude, latitude, *read[:2]).max() < 1e-4


def test_utm_with_bands():
    longitude, latitude = places(300)
    codes, metres = metres_in_zones(longitude, latitude)
    bands = [BANDS[min(int((north + 80) // 8), 19)] for north in latitude]
    assert len(set(bands)) == len(BANDS)
    zones = [f"{code % 100}{band}" for code, band in zip(codes, bands, strict=True)]
    read = read_utm(metres[:, 0], metres[:, 1], objects(zones), WGS84)
    assert set(read[2].tolist()) == {""}
    assert apart_m(longitude, latitude, *read[:2]).max() < 1e-4


def test_utm_beyond_the_edge_of_its_zone():
    # Surveys keep one zone across an edge; PROJ goes on there, and so do we.
    latitude = GENERATOR.uniform(-60, 60, 200)
    longitude = -114.0 - GENERATOR.uniform(0.0, 1.0, 200)
    words = np.where(latitude >= 0, "12 north", "12 south")
    codes = np.where(latitude >= 0, 32612, 32712)
    metres = np.array([
        to_zone(int(code)).transform(east, north)
        for code, east, north in zip(codes, longitude, latitude, strict=True)
    ])  # fmt: skip
    read = read_utm(metres[:, 0], metres[:, 1], objects(words), WGS84)
    assert set(read[2].tolist()) == {""}
    assert apart_m(longitude, latitude, *read[:2]).max() < 1e-4


@pytest.mark.parametrize("precision", [5, 4, 3, 2])
def test_grid_references(precision):
    longitude, latitude = places()
    grid = mgrs.MGRS()
    references = [
        grid.toMGRS(float(north), float(east), MGRSPrecision=precision)
        for east, north in zip(longitude, latitude, strict=True)
    ]
    read_longitude, read_latitude, error_m, problems = read_grid_references(objects(references), WGS84)
    assert set(problems.tolist()) == {""}
    # The place lies in the square it names: no further from the middle than half the diagonal. The grid's
    # metres are up to 0.1 percent longer or shorter than those on the ground (UTM's scale, 0.9996 to 1.001).
    distance_m = apart_m(longitude, latitude, read_longitude, read_latitude)
    assert (distance_m <= 1.002 * error_m + 1e-6).all()
    # And it is the middle that is read: on average 0.765 of half the side, as in any square.
    side_m = 10.0 ** (5 - precision)
    assert distance_m.mean() == pytest.approx(0.3826 * side_m, rel=0.1)


def test_every_metre_square_gives_its_own_reference_back():
    longitude, latitude = places()
    grid = mgrs.MGRS()
    references = [grid.toMGRS(float(n), float(e)) for e, n in zip(longitude, latitude, strict=True)]
    read_longitude, read_latitude, _, _ = read_grid_references(objects(references), WGS84)
    again = [grid.toMGRS(float(n), float(e)) for e, n in zip(read_longitude, read_latitude, strict=True)]
    # A square cut by a zone's edge may have its middle in the next zone.
    differ = sum(one != two for one, two in zip(references, again, strict=True))
    inside = np.abs((longitude + 180) % 6 - 3) < 2.99
    assert [one for one, keep in zip(references, inside, strict=True) if keep] == [
        two for two, keep in zip(again, inside, strict=True) if keep
    ]
    assert differ <= 0.1 * PLACES
