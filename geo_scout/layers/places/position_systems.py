"""Which reference system the position columns of a table are in."""

from pyproj import CRS

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.places.positions import PositionColumns
from geo_scout.layers.places.reference_systems import choose_crs
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable

_EXAMPLES = {"plane": "EPSG:32612"}


def choose_position_crs(at: PositionColumns, table: LayerTable, noticed: Noticed) -> CRS | None:
    """Return the system the points of a table will be in; None, with a stop finding, where none fits.

    Parameters
    ----------
    at
        The position columns.
    table
        The layer's settings, with the season's ``crs``.
    noticed
        Where findings go.
    """
    crs = choose_crs(
        at.crs,
        table,
        noticed,
        points_in_degrees=at.way in {"degrees", "grid"},
        example=_EXAMPLES.get(at.way, "EPSG:4326"),
    )
    if crs is None:
        return None
    if at.way == "plane" and not crs.is_projected:
        what = (
            f"{' and '.join(at.columns.values())} are metres on a map, but the season says {crs.name}, which "
            "is in degrees."
        )
        fix = 'State the map\'s own system, for instance crs = "EPSG:32612", or give a column utm_zone.'
        noticed.say("crs-not-projected", "stop", what, fix)
        return None
    if at.way == "utm" and crs.is_projected and not crs.utm_zone:
        what = f"the season says {crs.name}, which is no UTM zone, but the table has a column of UTM zones."
        fix = (
            'State the datum of the zones, for instance crs = "EPSG:4326", or take utm_zone out of the table.'
        )
        noticed.say("crs-not-utm", "stop", what, fix)
        return None
    return crs if at.way != "plane" or _unit_is_told(at, crs, noticed) else None


def _unit_is_told(at: PositionColumns, crs: CRS, noticed: Noticed) -> bool:
    """Return whether the numbers can be in the system's unit; metres called so cannot be feet."""
    unit = crs.axis_info[0].unit_name
    if unit in {"metre", "meter"}:
        return True
    in_metres = [name for name in at.columns.values() if folded(name).endswith("_m")]
    if in_metres:
        what = f"{' and '.join(in_metres)} say metres by their names, but {crs.name} is in {unit}."
        fix = "Find out which is true: state a system in metres, or rename the columns to what they hold."
        noticed.say("crs-not-metres", "stop", what, fix)
        return False
    what = f"{' and '.join(at.columns.values())} were read in {unit}, the unit of {crs.name}."
    noticed.say("position-unit", "note", what, "If they are metres, state the system they are in.")
    return True
