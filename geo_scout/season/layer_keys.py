"""Which keys of a layer's table make sense for which layer."""

from collections.abc import Callable, Iterator

from geo_scout.model.columns import CLIMATE_UNITS_OF, RASTER_LAYERS, VECTOR_LAYERS
from geo_scout.model.problem import Problem
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.season.document import Document
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import KeyPath, listed, show_value


def _has_column(kind: str) -> Callable[[str], bool]:
    def has(name: str) -> bool:
        return name in VECTOR_LAYERS and any(column.kind == kind for column in VECTOR_LAYERS[name].columns)

    return has


def _is_polygonal(name: str) -> bool:
    return name in VECTOR_LAYERS and VECTOR_LAYERS[name].shapes.startswith("polygons")


def _covers_ground(name: str) -> bool:
    return name in RASTER_LAYERS or name in ("infestations", "boundaries", "surveyed_areas", "land_classes")


def _is_raster(name: str) -> bool:
    return name in RASTER_LAYERS


def _is_climate(name: str) -> bool:
    return name in CLIMATE_UNITS_OF


def _has_unit(name: str) -> bool:
    return _has_column("cover")(name) or _is_climate(name)


KEYS_FOR: dict[str, tuple[Callable[[str], bool], str]] = {
    "columns": (VECTOR_LAYERS.__contains__, "layers of points, lines or polygons"),
    "paths": (_is_climate, "climate rasters: tmin, tmax, precipitation and bioclim"),
    "units": (_has_unit, "the layer infestations and climate rasters"),
    "encoding": (VECTOR_LAYERS.__contains__, "layers of points, lines or polygons"),
    "max_size_mb": (VECTOR_LAYERS.__contains__, "layers of points, lines or polygons"),
    "decimal_comma": (VECTOR_LAYERS.__contains__, "layers of points, lines or polygons"),
    "line_width_m": (_is_polygonal, "layers of polygons"),
    "date_format": (_has_column("date"), "layers with a date"),
    "yes": (_has_column("yes or no"), "layers with a yes-or-no column: infestations and visits"),
    "no": (_has_column("yes or no"), "layers with a yes-or-no column: infestations and visits"),
    "point_area_ha": (_has_column("cover"), "the layer infestations"),
    "required": (_covers_ground, "rasters, boundaries, surveyed_areas and land_classes"),
    "vertical_unit": ("elevation".__eq__, "the layer elevation"),
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
    if name != "bioclim":
        return
    for place, band in bands:
        if band not in CLIMATE_VARIABLES:
            fix = did_you_mean(
                band, CLIMATE_VARIABLES, f"the names are {listed(list(CLIMATE_VARIABLES), last='and')}."
            )
            what = f"{show_value(band)} is not a climate variable."
            yield document.problem("climate-variables", place, what, fix)
