"""Lines and outlines that look drawn by nature or by a surveyor."""

import numpy as np
import shapely
from numpy.random import Generator
from shapely import LineString, Polygon

from making.frame import Floats, settle


def round_off(line: LineString, simplify_m: float = 70.0, turns: int = 3) -> LineString:
    """Return the line with its corners cut `turns` times (Chaikin 1974), vertices on full decimetres."""
    places = np.asarray(line.simplify(simplify_m).coords)
    for _ in range(turns):
        first, second = places[:-1], places[1:]
        quarter, three_quarters = 0.75 * first + 0.25 * second, 0.25 * first + 0.75 * second
        inner = np.stack([quarter, three_quarters], axis=1).reshape(-1, 2)
        places = np.vstack([places[:1], inner, places[-1:]])
    return shapely.simplify(LineString(np.round(places, 1)), 1.0)


def draw_blob(
    random: Generator,
    centre: tuple[float, float],
    area_ha: float,
    stretch: float,
    direction: float,
    ragged: float = 0.5,
) -> Polygon:
    """Return a closed outline of about this area with an uneven edge.

    Parameters
    ----------
    random
        Source of chance.
    centre
        Easting and northing of the middle [m].
    area_ha
        Area [ha].
    stretch
        Length divided by width.
    direction
        Of the long axis, counter-clockwise from east [rad].
    ragged
        0 is an ellipse, 1 a very uneven edge.
    """
    radius_m = (area_ha * 1e4 / 3.141592653589793) ** 0.5
    count = int(np.clip(radius_m * 6.3 / 14, 14, 64))
    angle = np.arange(count) / count * 6.283185307179586
    phase, strength = random.random(7) * 6.283185307179586, random.random(7)
    reach: Floats = np.ones(count)
    for wave in range(2, 9):
        reach = reach + ragged * strength[wave - 2] / wave**0.9 * np.cos(wave * angle + phase[wave - 2])
    reach = np.maximum(reach, 0.3) * radius_m
    along, across = reach * np.cos(angle) * stretch**0.5, reach * np.sin(angle) / stretch**0.5
    east = centre[0] + along * np.cos(direction) - across * np.sin(direction)
    north = centre[1] + along * np.sin(direction) + across * np.cos(direction)
    raw = Polygon(np.column_stack([settle(east, 2), settle(north, 2)]))
    factor = (area_ha * 1e4 / raw.area) ** 0.5
    grown = shapely.affinity.scale(raw, factor, factor, origin=(centre[0], centre[1]))
    return shapely.set_precision(grown, 0.1)


def direction_along(line: LineString, distance_m: float) -> float:
    """Return the line's direction at this distance from its start, counter-clockwise from east [rad]."""
    before = line.interpolate(max(distance_m - 40, 0))
    after = line.interpolate(min(distance_m + 40, line.length))
    return float(settle(np.arctan2(np.array(after.y - before.y), np.array(after.x - before.x)), 4))
