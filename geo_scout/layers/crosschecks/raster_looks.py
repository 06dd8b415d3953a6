"""A few looks at a raster, for the checks that hold one raster against another layer."""

import numpy as np
import rasterio
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.model.layers import TURN_DEG, RasterLayer

# Places looked at: a lattice over the raster, and some infestations; cheap whatever the raster's size.
_LATTICE, _INFESTATIONS = 12, 150

Places = tuple[NDArray[np.float64], NDArray[np.float64]]


def places_over(raster: RasterLayer, infestations: LayerDraft | None) -> Places:
    """Return places all over a raster and at some infestations, in the system of the raster.

    Parameters
    ----------
    raster
        The raster that is looked at.
    infestations
        Where the season's sites lie; None leaves them out.

    Returns
    -------
    tuple of numpy.ndarray
        Eastings and northings (longitudes and latitudes of a geographic raster) [units of its system].
    """
    columns = np.unique(np.linspace(0, raster.width - 1, _LATTICE).astype(int)) + 0.5
    rows = np.unique(np.linspace(0, raster.height - 1, _LATTICE).astype(int)) + 0.5
    column, row = (grid.ravel() for grid in np.meshgrid(columns, rows))
    easting = raster.transform.c + column * raster.transform.a
    northing = raster.transform.f + row * raster.transform.e
    if infestations is None:
        return easting, northing
    chosen = np.unique(np.linspace(0, len(infestations.frame) - 1, _INFESTATIONS).astype(int))
    bounds = shapely.bounds(geometries(infestations.frame)[chosen])
    to_raster = transformer_between(infestations.crs, raster.crs)
    here = to_raster.transform((bounds[:, 0] + bounds[:, 2]) / 2, (bounds[:, 1] + bounds[:, 3]) / 2)
    return np.concatenate([easting, here[0]]), np.concatenate([northing, here[1]])


def read_at(raster: RasterLayer, places: Places) -> NDArray[np.float64]:
    """Return (places, bands) quantities; nan outside the raster and where missing.

    Parameters
    ----------
    raster
        The raster.
    places
        Eastings and northings in its system; longitudes in any turn.

    Raises
    ------
    RasterioIOError
        A block that is needed is damaged.
    """
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
