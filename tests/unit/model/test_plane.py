"""The plane of a frame."""

import geopandas as gpd
import pytest
import shapely

from geo_scout.model.plane import plane_of


def test_a_frame_without_a_crs_is_our_mistake():
    with pytest.raises(ValueError, match="without a CRS"):
        plane_of(gpd.GeoDataFrame(geometry=[shapely.Point(0, 0)]))
