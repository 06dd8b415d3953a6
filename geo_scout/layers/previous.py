"""The patches of an earlier run, for the predecessors of this season's."""

import geopandas as gpd
import numpy as np
import pyogrio
import shapely
from pyogrio.errors import DataLayerError, DataSourceError
from pyproj import CRS

from geo_scout.layers.noticed import Noticed, first_words
from geo_scout.model.season import Season

LAYER = "patches"


def read_previous(season: Season, working: CRS, noticed: Noticed) -> gpd.GeoDataFrame | None:
    """Return ``site_id``, ``host`` and geometry of ``[season] previous`` in the working CRS.

    None without one, or where the file is no result of an earlier run, which is said.
    """
    name = season.settings.season.previous
    if name is None:
        return None
    try:
        # A corner that is no number is told below; NumPy need not say so as well.
        with np.errstate(invalid="ignore"):
            frame = pyogrio.read_dataframe(season.file_of(name), layer=LAYER, columns=["site_id", "host"])
        # A table without shapes, columns or a reference system is no result of ours.
        earlier: gpd.GeoDataFrame = frame[["site_id", "host", "geometry"]].to_crs(working)
        if not np.isfinite(shapely.get_coordinates(earlier.geometry.to_numpy())).all():
            message = "a patch has a coordinate that is not a number"
            raise ValueError(message)
    except (DataSourceError, DataLayerError, AttributeError, KeyError, ValueError) as error:
        said = first_words(error, season.file_of(name), name)
        noticed.say(
            "previous-unreadable",
            "stop",
            f"{name} is not the result.gpkg of an earlier run: {said}",
            'Name the result.gpkg of an earlier outputs folder, or take "previous" out of [season].',
        )
        return None
    return earlier
