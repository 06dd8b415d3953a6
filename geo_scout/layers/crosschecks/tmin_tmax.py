"""Monthly minimum above the monthly maximum: swapped files, or different units."""

import numpy as np
import rasterio
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from rasterio.errors import RasterioIOError

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.layers.rasters.plausible import UNTRUE_SHARE
from geo_scout.model.finding import Grade
from geo_scout.model.layers import TURN_DEG, RasterLayer

# Places looked at: a lattice over the raster, and some infestations; cheap whatever the raster's size.
_LATTICE, _INFESTATIONS = 12, 150

Places = tuple[NDArray[np.float64], NDArray[np.float64]]


def check_tmin_below_tmax(read: LayersRead) -> None:
    """Stop where the minimum is above the maximum in more than a hundredth of what was looked at."""
    tmin, tmax = read.rasters.get("tmin"), read.rasters.get("tmax")
    if tmin is None or tmax is None:
        return
    easting, northing = _places(tmin, read.usable("infestations"))
    to_other = Transformer.from_crs(tmin.crs, tmax.crs, always_xy=True)
    try:
        low = _read_at(tmin, (easting, northing))
        high = _read_at(tmax, to_other.transform(easting, northing))
    except RasterioIOError:
        return  # a damaged block is told where the cells are needed
    known = np.isfinite(low) & np.isfinite(high)
    above = known & (low > high)
    if not above.any():
        return
    share = above.sum() / known.sum()
    month = int(np.argmax(above.sum(axis=0))) + 1
    what = (
        f"tmin is above tmax in {100 * share:.1f} percent of {known.sum():,} values looked at, most often in "
        f"month {month}: the two look swapped, or in different units."
    )
    grade: Grade = "stop" if share > UNTRUE_SHARE else "caution"
    fix = "Exchange the two files, or state the unit of each: units = {temperature = ...}"
    read.about("tmax").say("tmin-above-tmax", grade, what, fix)


def _places(tmin: RasterLayer, infestations: LayerDraft | None) -> Places:
    """Return the places looked at, in the system of tmin."""
    columns = np.unique(np.linspace(0, tmin.width - 1, _LATTICE).astype(int)) + 0.5
    rows = np.unique(np.linspace(0, tmin.height - 1, _LATTICE).astype(int)) + 0.5
    column, row = (grid.ravel() for grid in np.meshgrid(columns, rows))
    easting = tmin.transform.c + column * tmin.transform.a
    northing = tmin.transform.f + row * tmin.transform.e
    if infestations is None:
        return easting, northing
    chosen = np.unique(np.linspace(0, len(infestations.frame) - 1, _INFESTATIONS).astype(int))
    bounds = shapely.bounds(geometries(infestations.frame)[chosen])
    to_raster = Transformer.from_crs(infestations.crs, tmin.crs, always_xy=True)
    here = to_raster.transform((bounds[:, 0] + bounds[:, 2]) / 2, (bounds[:, 1] + bounds[:, 3]) / 2)
    return np.concatenate([easting, here[0]]), np.concatenate([northing, here[1]])


def _read_at(raster: RasterLayer, places: Places) -> NDArray[np.float64]:
    """Return (places, bands) quantities; nan outside the raster and where missing."""
    easting, northing = (np.asarray(one, dtype=np.float64) for one in places)
    if raster.crs.is_geographic:
        easting = raster.transform.c + (easting - raster.transform.c) % TURN_DEG
    grid = raster.transform
    column, row = (easting - grid.c) / grid.a, (northing - grid.f) / grid.e
    inside = (column >= 0) & (column < raster.width) & (row >= 0) & (row < raster.height)
    values = np.full((len(easting), len(raster.bands)), np.nan)
    if not inside.any():
        return values
    order = np.flatnonzero(inside)[np.argsort(-northing[inside], kind="stable")]
    for file, (positions, numbers) in raster.bands_by_file().items():
        with rasterio.open(raster.files[file]) as dataset:
            points = zip(easting[order], northing[order], strict=True)
            sampled = np.ma.stack(list(dataset.sample(points, indexes=numbers, masked=True)))
        stored = np.ma.filled(sampled.astype(np.float64), np.nan)
        for at, position in enumerate(positions):
            values[order, position] = raster.values(stored[:, at], position)
    return values
