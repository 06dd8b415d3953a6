"""Reference systems: the layer's own, the season's working one, and the way from one to the other."""

import warnings
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.aoi import AreaOfInterest
from pyproj.exceptions import CRSError, ProjError
from pyproj.transformer import TransformerGroup

from geo_scout.formulas.geodesy import working_crs
from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.noticed import Noticed
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.season import Season

WGS84 = CRS.from_epsg(4326)
DATUM_SHIFT_M = 1.0
_ALIKE_PERCENT = 70


@dataclass(frozen=True)
class Passage:
    """The way from a layer's reference system to the working one.

    Parameters
    ----------
    transformer
        The transformation that is used.
    accuracy_m
        Its stated accuracy; None where none is stated [m].
    steps
        Names of its datum shifts; empty where the datum stays.
    lacks_grid
        Whether a better one exists that needs a grid file which is not installed.
    """

    transformer: Transformer
    accuracy_m: float | None
    steps: str
    lacks_grid: bool


def crs_of_file(stored: object) -> CRS | None:
    """Return a file's reference system without its height; None where it has none that is usable."""
    if not stored:
        return None
    try:
        crs = CRS.from_user_input(stored)
    except CRSError:
        return None
    # GeoPackages hold "undefined" systems where nobody knew; an engineering system has no place on Earth.
    if crs.name.casefold().startswith("undefined") or crs.is_engineering:
        return None
    flat = crs.sub_crs_list[0] if crs.is_compound else crs.to_2d()
    return flat if flat.is_geographic or flat.is_projected else None


def choose_crs(
    of_file: CRS | None,
    table: LayerTable,
    noticed: Noticed,
    *,
    points_in_degrees: bool = False,
    example: str = "EPSG:4326",
) -> CRS | None:
    """Return the reference system of a layer; None, with a stop finding, where nobody states one.

    Parameters
    ----------
    of_file
        The file's own, if any: it wins.
    table
        The layer's settings, with the season's ``crs``.
    noticed
        Where findings go.
    points_in_degrees
        Whether positions come from columns in degrees, or on a grid that is numbered in degrees.
    example
        A system to show where none is stated.
    """
    crs = _choose(of_file, table, noticed, points_in_degrees=points_in_degrees, example=example)
    if crs is None or _leads_to_degrees(crs):
        return crs
    what = f"coordinates in {crs.name} cannot be brought to the season's map."
    noticed.say("crs-unusable", "stop", what, "Save the layer in a national system or in WGS 84.")
    return None


def _choose(
    of_file: CRS | None, table: LayerTable, noticed: Noticed, *, points_in_degrees: bool, example: str
) -> CRS | None:
    stated = _stated(table, noticed)
    if of_file is not None:
        if stated is not None and not _are_alike(of_file, stated):
            what = f"the file is in {of_file.name}, the season says {stated.name}; the file's own was used."
            noticed.say(
                "crs-differs", "caution", what, "Take the `crs` line out of this layer, or mend the file."
            )
        return of_file
    if table.crs is None:
        what = f"'{table.path}' does not say which coordinate reference system its coordinates are in."
        fix = f'Ask whoever made it, then add the line that is true, for instance: crs = "{example}"'
        noticed.say("missing-crs", "stop", what, fix)
    elif stated is not None and points_in_degrees and not stated.is_geographic:
        what = (
            f"the position columns hold degrees, but the season says {stated.name}, which is not in degrees."
        )
        noticed.say("crs-not-geographic", "stop", what, 'State a system in degrees: crs = "EPSG:4326"')
        return None
    return stated


@lru_cache(maxsize=64)
def _leads_to_degrees(crs: CRS) -> bool:
    """Return whether there is a way to WGS 84; a damaged definition, or one of the Moon, has none."""
    try:
        transformer_between(crs, WGS84)
    except ProjError:
        return False
    return True


def choose_working_crs(
    longitude_deg: NDArray[np.float64], latitude_deg: NDArray[np.float64], season: Season
) -> CRS:
    """Return the working system, centred on the infestations, or on the crew bases where there are none."""
    known = np.isfinite(longitude_deg) & np.isfinite(latitude_deg) & (np.abs(latitude_deg) <= 90.0)
    if known.any():
        return working_crs(longitude_deg[known], latitude_deg[known])
    crews = season.settings.crews
    return working_crs([c.base_longitude_deg for c in crews], [c.base_latitude_deg for c in crews])


def first_points_deg(
    shapes: NDArray[np.object_], crs: CRS
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return longitude and latitude of the first vertex of each shape [deg].

    A shape's vertices are the same places whichever system its file is in, which the corners of its
    bounds are not; so the working system comes out the same, too.
    """
    vertices = shapely.get_coordinates(shapes)
    sizes = shapely.get_num_coordinates(shapes)
    first = (np.cumsum(sizes) - sizes)[sizes > 0]
    to_degrees = transformer_between(crs, WGS84)
    longitude_deg, latitude_deg = to_degrees.transform(vertices[first, 0], vertices[first, 1])
    return np.asarray(longitude_deg, dtype=np.float64), np.asarray(latitude_deg, dtype=np.float64)


def open_passage(
    source: CRS, target: CRS, longitude_deg: NDArray[np.float64], latitude_deg: NDArray[np.float64]
) -> Passage:
    """Return the most accurate transformation that is installed for where the data are.

    Parameters
    ----------
    source, target
        The two systems.
    longitude_deg, latitude_deg
        Some positions of the data, (n,) [deg].

    Raises
    ------
    ProjError
        There is no transformation between the two.
    """
    with warnings.catch_warnings():
        # PROJ warns of a grid that is not installed; the passage carries that as `lacks_grid`.
        warnings.simplefilter("ignore", UserWarning)
        area = _area(longitude_deg, latitude_deg)
        # pyproj's own hints name the compiled twin of this class; it takes this one.
        group = TransformerGroup(source, target, always_xy=True, area_of_interest=area)  # type: ignore[arg-type]
    if not group.transformers:
        message = f"no transformation from {source.name}"
        raise ProjError(message)
    best = group.transformers[0]
    steps = " + ".join(step for step in best.description.split(" + ") if " to " in step)
    accuracy_m = best.accuracy if best.accuracy >= 0.0 else None
    return Passage(best, accuracy_m, steps, lacks_grid=not group.best_available)


def say_accuracy(passage: Passage, noticed: Noticed) -> float:
    """Caution where positions may be off by more than a metre, or by nobody knows how much.

    Returns
    -------
    float
        How far off they may be; 0 within a metre, or where nobody knows [m].
    """
    if passage.accuracy_m is not None and passage.accuracy_m <= DATUM_SHIFT_M and not passage.lacks_grid:
        return 0.0
    known = (
        "its accuracy is not known" if passage.accuracy_m is None else f"accurate to {passage.accuracy_m:g} m"
    )
    better = "; a better one needs a grid file that is not installed" if passage.lacks_grid else ""
    what = f"positions were brought to WGS 84 by '{passage.steps}', {known}{better}."
    fix = "Nothing, if that is near enough for finding a patch; otherwise give the layer in WGS 84."
    noticed.say("datum-shift", "caution", what, fix)
    accuracy_m = passage.accuracy_m or 0.0
    return accuracy_m if accuracy_m > DATUM_SHIFT_M else 0.0


def _stated(table: LayerTable, noticed: Noticed) -> CRS | None:
    if table.crs is None:
        return None
    stated = crs_of_file(table.crs)
    if stated is None:
        what = f"crs = '{table.crs}' is not a coordinate reference system of places on the Earth."
        noticed.say("crs-unreadable", "stop", what, 'Write an EPSG code, for instance: crs = "EPSG:4326"')
    return stated


def _are_alike(one: CRS, other: CRS) -> bool:
    if one.equals(other, ignore_axis_order=True):
        return True
    code = one.to_epsg(min_confidence=_ALIKE_PERCENT)
    return code is not None and code == other.to_epsg(min_confidence=_ALIKE_PERCENT)


def _area(longitude_deg: NDArray[np.float64], latitude_deg: NDArray[np.float64]) -> AreaOfInterest | None:
    known = np.isfinite(longitude_deg) & np.isfinite(latitude_deg)
    if not known.any():
        return None
    wrapped = (longitude_deg[known] + 180.0) % 360.0 - 180.0
    west, east = float(wrapped.min()), float(wrapped.max())
    if east - west > 180.0:
        return None
    latitudes = np.clip(latitude_deg[known], -90.0, 90.0)
    return AreaOfInterest(west, float(latitudes.min()), east, float(latitudes.max()))
