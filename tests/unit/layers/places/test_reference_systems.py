import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import CRS

from geo_scout.layers.places.reference_systems import crs_of_file, first_points_deg, open_passage

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


@pytest.mark.parametrize("file", ["weeds.gpkg", "weeds.shp"])
def test_no_reference_system_stops_with_a_line_to_paste(folder, told, file):
    folder.write("infestations", [folder.square()], crs=None, file=file, **HOST)
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "missing-crs") == (
        "stop: layers.infestations\n"
        f"  '{file}' does not say which coordinate reference system its coordinates are in.\n"
        '  Fix: Ask whoever made it, then add the line that is true, for instance: crs = "EPSG:4326"'
    )
    # Without infestations the working system is centred on the crews.
    assert layers.crs.name == "Lambert azimuthal equal-area, centre -110 47"


@pytest.mark.parametrize("file", ["weeds.gpkg", "weeds.shp"])
def test_stated_system_is_used_where_the_file_has_none(folder, file):
    folder.write("infestations", [folder.square()], crs=None, file=file, **HOST)
    folder.layers["infestations"]["crs"] = "EPSG:4326"
    layers = folder.read()
    plain = gpd.GeoSeries([folder.square()], crs=4326).to_crs(layers.crs)
    assert layers.vectors["infestations"].geometry.iloc[0].equals_exact(plain.iloc[0], 1e-9, normalize=True)


def test_file_wins_over_the_season(folder, told):
    folder.write("infestations", [folder.square()], **HOST)
    folder.layers["infestations"]["crs"] = "EPSG:32612"
    layers = folder.read()
    plain = gpd.GeoSeries([folder.square()], crs=4326).to_crs(layers.crs)
    assert layers.vectors["infestations"].geometry.iloc[0].equals_exact(plain.iloc[0], 1e-9, normalize=True)
    assert told(layers, "crs-differs") == (
        "caution: layers.infestations\n"
        "  the file is in WGS 84, the season says WGS 84 / UTM zone 12N; the file's own was used.\n"
        "  Fix: Take the `crs` line out of this layer, or mend the file."
    )


@pytest.mark.parametrize("stated", ["EPSG:4326", "OGC:CRS84"])
def test_the_same_system_twice_says_nothing(folder, found, stated):
    folder.write("infestations", [folder.square()], file="weeds.shp", **HOST)
    folder.layers["infestations"]["crs"] = stated
    assert found(folder.read(), "crs-differs") == []


@pytest.mark.parametrize("stated", ["EPSG:999999", "degrees", 'LOCAL_CS["somewhere",UNIT["metre",1]]'])
def test_stated_system_that_is_none_stops(folder, told, stated):
    folder.write("infestations", [folder.square()], crs=None, **HOST)
    folder.layers["infestations"]["crs"] = stated
    layers = folder.read()
    assert not layers.has("infestations")
    assert f"crs = '{stated}' is not a coordinate reference system of places on the Earth." in told(
        layers, "crs-unreadable"
    )


def test_heights_and_undefined_systems():
    assert crs_of_file("EPSG:5498").to_epsg() == 4269  # NAD83 + NAVD88 height
    assert crs_of_file("EPSG:4979").to_epsg() == 4326  # WGS 84 with ellipsoidal height
    assert (
        crs_of_file(
            'GEOGCS["Undefined geographic SRS",DATUM["unknown",SPHEROID["unknown",6378137,298.257223563]],'
            'PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]'
        )
        is None
    )
    assert crs_of_file("EPSG:4978") is None  # geocentric
    assert crs_of_file(None) is None


def test_datum_shift_is_said_with_its_accuracy(folder, told):
    folder.write("infestations", [folder.square()], crs=4267, **HOST)
    text = told(folder.read(), "datum-shift")
    # The figures are those of the EPSG dataset: NAD27 to WGS 84 by three parameters is good to some 10 m,
    # and the grid that does better is in no wheel.
    assert text.startswith(
        "caution: layers.infestations\n  positions were brought to WGS 84 by 'NAD27 to WGS 84 ("
    )
    assert (
        "; a better one needs a grid file that is not installed.\n  Fix: Nothing, if that is near enough"
        in text
    )
    assert "accurate to " in text


@pytest.mark.parametrize(
    ("code", "accuracy_m", "lacks_grid"),
    # Of the EPSG dataset: NAD83 is good to 4 m without a grid, and Montana has a grid that does better.
    [(4326, 0.0, False), (3857, 0.0, False), (32612, 0.0, False), (4269, 4.0, True)],
)
def test_stated_accuracy(code, accuracy_m, lacks_grid):
    target = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84")
    passage = open_passage(CRS.from_epsg(code), target, np.array([-110.0]), np.array([47.0]))
    assert passage.accuracy_m == accuracy_m
    assert passage.lacks_grid is lacks_grid


def test_unknown_accuracy_is_none():
    # GDA2020 has a published shift in Australia only; in America PROJ treats the datums as one.
    target = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84")
    passage = open_passage(CRS.from_epsg(7844), target, np.array([-110.0]), np.array([47.0]))
    assert passage.accuracy_m is None


def test_working_system_is_the_same_in_other_clothes(folder):
    series = gpd.GeoSeries([folder.square(n) for n in (0, 51)], crs=4326)
    names = []
    for number, code in enumerate((4326, 3857, 32612, 2256)):
        folder.layers.clear()
        folder.write(
            "infestations", series.to_crs(code).tolist(), crs=code, file=f"clothes{number}.gpkg", **HOST
        )
        names.append(folder.read().crs)
    assert all(crs == names[0] for crs in names)


def test_first_points_skip_nothing():
    shapes = np.array(
        [shapely.box(1, 2, 3, 4), shapely.Point(7, 8), shapely.LineString([(5, 6), (0, 0)])], dtype=object
    )
    longitude_deg, latitude_deg = first_points_deg(shapes, CRS.from_epsg(4326))
    assert list(zip(longitude_deg, latitude_deg, strict=True)) == [(3.0, 2.0), (7.0, 8.0), (5.0, 6.0)]


def test_system_that_leads_nowhere_stops(folder, told):
    # A projected system of the Moon has no way to the Earth.
    moon = (
        'PROJCS["moon",GEOGCS["moon",DATUM["moon",SPHEROID["moon",1737400,0]],'
        'PRIMEM["Reference_Meridian",0],UNIT["degree",0.0174532925199433]],PROJECTION["Equirectangular"],'
        'PARAMETER["standard_parallel_1",0],PARAMETER["central_meridian",0],'
        'PARAMETER["false_easting",0],PARAMETER["false_northing",0],UNIT["metre",1]]'
    )
    folder.write("infestations", [folder.square()], **HOST)
    folder.write("roads", [shapely.LineString([(0, 0), (9, 9)])], crs=None, road_class="track")
    folder.layers["roads"]["crs"] = moon
    assert "stop: layers.roads" in told(folder.read(), "crs-unusable")


# A scale of nought on the central meridian, as a damaged .prj file may say.
NO_SCALE = (
    'PROJCS["damaged",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],'
    'PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],'
    'PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-111],PARAMETER["scale_factor",0],'
    'PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]'
)


def test_infestations_and_rasters_in_a_damaged_system_stop(folder, found):
    folder.write("infestations", [folder.square()], crs=None, **HOST)
    folder.layers["infestations"]["crs"] = NO_SCALE
    folder.write_raster("elevation", np.full((4, 4), 900.0), crs=None)
    folder.layers["elevation"]["crs"] = NO_SCALE
    layers = folder.read()
    assert not layers.has("infestations")
    assert not layers.has("elevation")
    assert [finding.text() for finding in found(layers, "crs-unusable")] == [
        f"stop: layers.{layer}\n"
        "  coordinates in damaged cannot be brought to the season's map.\n"
        "  Fix: Save the layer in a national system or in WGS 84."
        for layer in ("infestations", "elevation")
    ]
