"""Which keys of a layer's table make sense for which layer."""

from collections.abc import Callable, Iterator

from geo_scout.model.column import TableKind, VectorKind
from geo_scout.model.columns import CLIMATE_UNITS_OF, RASTER_LAYERS, TABLE_LAYERS, VECTOR_LAYERS
from geo_scout.model.problem import Problem
from geo_scout.model.quantities import CLIMATE_VARIABLES, EXTREMES
from geo_scout.season.document import Document
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import KeyPath, listed, show_value

_WITH_COLUMNS: dict[str, VectorKind | TableKind] = {**VECTOR_LAYERS, **TABLE_LAYERS}
_COLUMNED = "layers of points, lines or polygons, and tables"


def _has_columns(name: str) -> bool:
    return name in _WITH_COLUMNS and bool(_WITH_COLUMNS[name].columns)


def _has_column(kind: str) -> Callable[[str], bool]:
    def has(name: str) -> bool:
        return name in _WITH_COLUMNS and any(column.kind == kind for column in _WITH_COLUMNS[name].columns)

    return has


def _is_polygonal(name: str) -> bool:
    return name in VECTOR_LAYERS and VECTOR_LAYERS[name].shapes.startswith("polygons")


def _covers_ground(name: str) -> bool:
    return name in RASTER_LAYERS or name in ("infestations", "boundaries", "surveyed_areas", "land_classes")


def _is_raster(name: str) -> bool:
    return name in RASTER_LAYERS


def _is_climate(name: str) -> bool:
    return name in CLIMATE_UNITS_OF and name in RASTER_LAYERS


def _has_unit(name: str) -> bool:
    return _has_column("cover")(name) or name in CLIMATE_UNITS_OF


KEYS_FOR: dict[str, tuple[Callable[[str], bool], str]] = {
    "columns": (_has_columns, "every layer of points, lines or polygons but water, and tables"),
    "paths": (_is_climate, "climate rasters: tmin, tmax, precipitation, bioclim and extremes"),
    "units": (_has_unit, "the layer infestations, climate rasters and tables of weather"),
    "encoding": (_WITH_COLUMNS.__contains__, _COLUMNED),
    "max_size_mb": (_WITH_COLUMNS.__contains__, _COLUMNED),
    "decimal_comma": (_WITH_COLUMNS.__contains__, _COLUMNED),
    "line_width_m": (_is_polygonal, "layers of polygons"),
    "date_format": (_has_column("date"), "layers with a date"),
    "yes": (_has_column("yes or no"), "layers with a yes-or-no column: infestations and visits"),
    "no": (_has_column("yes or no"), "layers with a yes-or-no column: infestations and visits"),
    "repeated": ("visits".__eq__, "the layer visits"),
    "point_area_ha": (_has_column("cover"), "the layer infestations"),
    "required": (_covers_ground, "rasters, boundaries, surveyed_areas and land_classes"),
    "vertical_unit": (("elevation", "climate_elevation").__contains__, "elevation and climate_elevation"),
    "fill_gaps_days": ("weather".__eq__, "the layer weather"),
    "period": ("station_normals".__eq__, "the layer station_normals"),
    "scale": (_is_raster, "rasters"),
    "offset": (_is_raster, "rasters"),
    "bands": (_is_raster, "rasters"),
}
"""Per key: the layers it is for, as a test and in words. Keys not listed are for every layer."""


def is_for(key: str, name: str) -> bool:
    """Return whether a key does anything in a layer."""
    fits, _ = KEYS_FOR.get(key, (None, ""))
    return fits is None or fits(name)


def check_misplaced(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a key that would do nothing in this layer, and of wrong band names."""
    name = str(path[-1])
    for key in document.table(*path):
        if not is_for(key, name):
            _, words = KEYS_FOR[key]
            what = f"{key} does nothing in the layer {name}; it is for {words}."
            yield document.problem("misplaced-key", (*path, key), what, "remove the line.")
        elif key == "bands":
            yield from _check_bands(document, (*path, key), name)


def _check_bands(document: Document, path: KeyPath, name: str) -> Iterator[Problem]:
    bands = list(document.texts(*path))
    wanted = RASTER_LAYERS[name].bands
    if wanted is not None and len(bands) != wanted:
        what = f"{len(bands)} names are given; the layer {name} has {wanted} band{'s' if wanted > 1 else ''}."
        yield document.problem(
            "bands", path, what, "name every band in the order of the file, or remove the line."
        )
    if name == "extremes":
        yield from _check_extremes(document, bands)
    if name != "bioclim":
        return
    for place, band in bands:
        if band not in CLIMATE_VARIABLES:
            fix = did_you_mean(
                band, CLIMATE_VARIABLES, f"the names are {listed(list(CLIMATE_VARIABLES), last='and')}."
            )
            what = f"{show_value(band)} is not a climate variable."
            yield document.problem("climate-variables", place, what, fix)


def _check_extremes(document: Document, bands: list[tuple[KeyPath, str]]) -> Iterator[Problem]:
    for place, band in bands:
        if band not in EXTREMES:
            fix = did_you_mean(band, EXTREMES, f"the names are {listed(EXTREMES, last='and')}.")
            yield document.problem("bands", place, f"{show_value(band)} is no yearly extreme.", fix)
