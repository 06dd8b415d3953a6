"""All result layers in one GeoPackage, and the two rankings as GeoJSON."""

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import geopandas as gpd
import pyogrio

GEOMETRY_OF_LAYER = {
    "release_sites": "MultiPolygon",
    "sources": "MultiPolygon",
    "patches": "MultiPolygon",
    "districts": "MultiPolygon",
    "releases": "Point",
    "visits": "Point",
    "crew_bases": "Point",
    "findings": "Point",
    "populations": "Unknown",
}
COORDINATE_DECIMALS = 7


@contextmanager
def _dated(as_of: dt.date) -> Iterator[None]:
    """Make GDAL stamp files with the season's clock, so that equal input makes equal bytes."""
    before = pyogrio.get_gdal_config_option("OGR_CURRENT_DATE")
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": f"{as_of:%Y-%m-%d}T00:00:00.000Z"})
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": before})


def write_geopackage(path: Path, layers: Mapping[str, gpd.GeoDataFrame], as_of: dt.date) -> None:
    """Write every layer into one GeoPackage."""
    with _dated(as_of):
        for name, frame in layers.items():
            pyogrio.write_dataframe(
                frame,
                path,
                layer=name,
                driver="GPKG",
                geometry_type=GEOMETRY_OF_LAYER[name],
                promote_to_multi=GEOMETRY_OF_LAYER[name] == "MultiPolygon",
                append=path.exists(),
            )


def write_geojson(path: Path, layer: gpd.GeoDataFrame) -> None:
    """Write one layer as GeoJSON (RFC 7946): WGS 84, longitude first, outer rings anticlockwise."""
    pyogrio.write_dataframe(
        layer,
        path,
        driver="GeoJSON",
        layer_options={
            "RFC7946": "YES",
            "COORDINATE_PRECISION": str(COORDINATE_DECIMALS),
            "WRITE_NAME": "NO",
        },
    )
