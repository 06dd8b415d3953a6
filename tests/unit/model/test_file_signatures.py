import gzip
import io
import sqlite3
import zipfile

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from PIL import Image

from geo_scout.model.file_signatures import kind_of_bytes


def of_picture(form):
    stream = io.BytesIO()
    Image.new("RGB", (2, 2)).save(stream, form)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("form", "kind"),
    [("PNG", "a PNG picture"), ("JPEG", "a JPEG picture"), ("GIF", "a GIF picture"), ("TIFF", "a TIFF image"),
     ("PDF", "a PDF document")],
)  # fmt: skip
def test_pictures_that_another_library_wrote(form, kind):
    assert kind_of_bytes(of_picture(form)) == kind


@pytest.mark.parametrize(
    ("file", "kind"),
    [("a.gpkg", "a GeoPackage or another SQLite database"), ("a.shp", "a shapefile"),
     ("a.fgb", "a FlatGeobuf"), ("a.geojson", "")],
)  # fmt: skip
def test_maps_that_another_library_wrote(tmp_path, file, kind):
    gpd.GeoDataFrame({"a": [1]}, geometry=[shapely.Point(0, 0)], crs=4326).to_file(tmp_path / file)
    assert kind_of_bytes((tmp_path / file).read_bytes()) == kind


def test_rasters_databases_and_packed_files(tmp_path):
    profile = {"driver": "GTiff", "width": 1, "height": 1, "count": 1, "dtype": "uint8", "crs": 4326,
               "transform": rasterio.Affine(1, 0, 5, 0, -1, 5)}  # fmt: skip
    for name, big in (("a.tif", "NO"), ("big.tif", "YES")):
        with rasterio.open(tmp_path / name, "w", BIGTIFF=big, **profile) as raster:
            raster.write(np.ones((1, 1, 1), np.uint8))
    with sqlite3.connect(tmp_path / "a.sqlite") as database:
        database.execute("create table a (b)")
    database.close()
    for name, members in (("full.zip", ["a.tif"]), ("none.zip", [])):
        with zipfile.ZipFile(tmp_path / name, "w") as packed:
            for member in members:
                packed.write(tmp_path / member, member)
    assert kind_of_bytes((tmp_path / "a.tif").read_bytes()) == "a TIFF image"
    assert kind_of_bytes((tmp_path / "big.tif").read_bytes()) == "a TIFF image"
    assert kind_of_bytes((tmp_path / "a.sqlite").read_bytes()) == "a GeoPackage or another SQLite database"
    assert kind_of_bytes((tmp_path / "full.zip").read_bytes()) == "a zip file or a spreadsheet"
    assert kind_of_bytes((tmp_path / "none.zip").read_bytes()) == "a zip file with nothing in it"
    assert kind_of_bytes(gzip.compress(b"id,host")) == "a packed file (gzip)"


@pytest.mark.parametrize("text", [b"", b"id;host\n", b'  {"type": 1}', "Ändere".encode("latin-1")])
def test_text_is_no_sign_of_anything(text):
    assert kind_of_bytes(text) == ""
