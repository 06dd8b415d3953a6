"""Infestations in another place than everything else: most likely the wrong reference system."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.neighbourhood import Neighbourhood, neighbourhood_of
from geo_scout.layers.crosschecks.swapped_positions import bases_of
from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.model.layers import RasterLayer

_AT_A_TIME = 200
# One layer of another place is a slip in that layer; two agree against the infestations.
_WITNESSES = 2


def check_elsewhere(read: LayersRead) -> None:
    """Stop infestations of which two or more kinds of evidence say that they lie somewhere else."""
    infestations = read.usable("infestations")
    if infestations is None:
        return
    said = list(_witnesses(read, infestations, neighbourhood_of(infestations)))
    if len(said) < _WITNESSES:
        return
    what = (
        "the infestations lie in another place than the rest of the season: all of them are "
        f"{', '.join(said[:-1])} and {said[-1]}."
    )
    fix = (
        'State the system the layer is really in, crs = "EPSG:..."; or take the layers that are of another '
        "place out."
    )
    infestations.say("position-elsewhere", "stop", what, fix)


def _witnesses(read: LayersRead, infestations: LayerDraft, around: Neighbourhood) -> Iterator[str]:
    boundaries, releases = read.usable("boundaries"), read.usable("releases")
    if boundaries is not None and not _touch(boundaries, infestations):
        yield "outside every boundary"
    off = [name for name, raster in read.rasters.items() if not _is_over(raster, infestations)]
    if off:
        yield f"off the raster {off[0]}"
    if releases is not None:
        rows, _, _, distance_km = around.far_rows(releases)
        if rows.all():
            yield f"{distance_km.min():,.0f} km from the nearest release"
    here = np.array([around.longitude_deg]), np.array([around.latitude_deg])
    bases = bases_of(read.season)
    nearest_km = min(float(base.distance_km(*here)[0]) for base in bases)
    if nearest_km > bases[0].reach_km:
        yield f"{nearest_km:,.0f} km from the nearest crew base"


def _parts(infestations: LayerDraft) -> Iterator[NDArray[Any]]:
    """Yield the shapes a few at a time: where they belong together, the first ones tell."""
    shapes = geometries(infestations.frame)
    for start in range(0, len(shapes), _AT_A_TIME):
        yield shapes[start : start + _AT_A_TIME]


def _touch(boundaries: LayerDraft, infestations: LayerDraft) -> bool:
    tree = shapely.STRtree(geometries(boundaries.frame))
    return any(tree.query(part, predicate="intersects").size for part in _parts(infestations))


def _is_over(raster: RasterLayer, infestations: LayerDraft) -> bool:
    """Return whether the bounds of any infestation meet the grid."""
    to_grid = transformer_between(infestations.crs, raster.crs)
    return any(_meets(raster, part, to_grid) for part in _parts(infestations))


def _meets(raster: RasterLayer, shapes: NDArray[Any], to_grid: Transformer) -> bool:
    bounds = shapely.bounds(shapes)
    corners = np.concatenate([bounds[:, [0, 1]], bounds[:, [2, 3]], bounds[:, [0, 3]], bounds[:, [2, 1]]])
    east, north = (np.asarray(one) for one in to_grid.transform(corners[:, 0], corners[:, 1]))
    inverse = ~raster.transform
    columns = inverse.a * east + inverse.b * north + inverse.c
    rows = inverse.d * east + inverse.e * north + inverse.f
    if raster.crs.is_geographic:
        columns = np.mod(columns, 360.0 / abs(raster.transform.a))
    meets = (columns >= 0) & (columns <= raster.width) & (rows >= 0) & (rows <= raster.height)
    return bool(meets.any())
