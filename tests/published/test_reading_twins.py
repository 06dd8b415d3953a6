"""The same 73 points of interest twice without a .prj, in degrees and in US survey feet.

gisdata 0.5.4, data/bad/points_wgs84_no_prj.shp and points_epsg2249_no_prj.shp (Massachusetts mainland, US feet,
though the points lie in the Caribbean: the projection reaches, its region does not).
"""

import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import Geod, Transformer

from geo_scout.layers import read_layers
from tests.reading_seasons import packaged, season_of

DEGREES = ("gisdata/data/bad/points_wgs84_no_prj.shp", "e7519547013a73d6")
FEET = ("gisdata/data/bad/points_epsg2249_no_prj.shp", "84b49d3e580ef966")
SAME_M = 1e-3
HOSTS = (
    "Leisure", "Tourism", "Lodging", "Eating&Drinking", "Automotive", "Government and Public Services",
)  # fmt: skip


def read(folder, twin, crs=None):
    table = {"path": str(packaged("gisdata", *twin)), "point_area_ha": 0.1, "columns": {"host": "CATEGORY"}}
    if crs:
        table["crs"] = crs
    return read_layers(season_of(folder, {"infestations": table}, HOSTS))


def middles(layers):
    frame = layers.vectors["infestations"]
    return shapely.get_coordinates(frame.geometry.centroid.to_numpy())


@pytest.mark.parametrize("twin", [DEGREES, FEET])
def test_without_a_reference_system_both_are_refused(tmp_path, twin):
    layers = read(tmp_path, twin)
    assert not layers.has("infestations")
    [stop] = [finding for finding in layers.findings if finding.grade == "stop"]
    assert stop.code == "missing-crs"
    assert stop.what.endswith("does not say which coordinate reference system its coordinates are in.")


def test_with_their_own_stated_both_land_on_the_same_place(tmp_path):
    degrees = read(tmp_path, DEGREES, "EPSG:4326")
    feet = read(tmp_path, FEET, "EPSG:2249")
    assert degrees.crs == feet.crs
    assert np.abs(middles(degrees) - middles(feet)).max() < SAME_M
    # By a third route: pyproj alone, from the file geopandas reads.
    plain = gpd.read_file(packaged("gisdata", *DEGREES)).set_crs(4326).to_crs(degrees.crs)
    # Some points are in the file twice; those of one kind are one patch's duplicate and set aside.
    rows = degrees.vectors["infestations"]["row"].to_numpy() - 1
    assert np.abs(middles(degrees) - shapely.get_coordinates(plain.geometry.to_numpy())[rows]).max() < SAME_M


def test_feet_called_metres_are_far_away(tmp_path):
    # EPSG:26986 is the same map in metres. The trap does not look like one: every point has a place.
    metres = read(tmp_path, FEET, "EPSG:26986")
    feet = read(tmp_path, FEET, "EPSG:2249")
    there, here = (
        Transformer.from_crs(layers.crs, 4326, always_xy=True).transform(*middles(layers)[0])
        for layers in (metres, feet)
    )
    assert Geod(ellps="WGS84").inv(*here, *there)[2] > 1e6


def test_feet_called_degrees_are_nowhere(tmp_path):
    layers = read(tmp_path, FEET, "EPSG:4326")
    assert not layers.has("infestations")
    nowhere = [finding for finding in layers.findings if finding.code == "position-impossible"]
    assert len(nowhere) == 73
    assert all("it looks like metres or feet on a map" in finding.what for finding in nowhere)
