import hashlib
import sqlite3

import numpy as np
import pyogrio
import pytest

from geo_scout.layers.inspect.vector_looks import read_vector_file
from geo_scout.layers.opening.gdal_settings import untouched_inputs

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def listing(path):
    files = sorted(file for file in path.rglob("*") if file.is_file())
    return [
        (file.relative_to(path).as_posix(), hashlib.sha256(file.read_bytes()).hexdigest()) for file in files
    ]


def test_inputs_are_the_same_before_and_after(folder):
    path = folder.write("infestations", [folder.square(0)], **HOST)
    with sqlite3.connect(path) as database:
        database.execute("pragma journal_mode = wal")
    database.close()
    folder.write(
        "releases",
        [folder.point(0)],
        file="releases.shp",
        release_id="R1",
        agent="stem weevil",
        date="2020-01-01",
    )
    folder.write("roads", [folder.line], file="roads.fgb", road_class="track")
    folder.write("boundaries", [folder.square()], file="b.geojson", district="Upper", jurisdiction="Quill")
    folder.write_raster("elevation", np.full((40, 40), 900.0))
    folder.write_raster("tmin", np.full((12, 4, 4), -3.0), file="tmin.asc.tif")
    season = folder.season()
    before = listing(folder.folder)
    layers = folder.read()
    assert {"infestations", "releases", "roads", "boundaries"} <= set(layers.vectors)
    assert {"elevation", "tmin"} <= set(layers.rasters)
    assert season.path.is_file()
    assert listing(folder.folder) == before


def test_settings_come_back():
    pyogrio.set_gdal_config_options({"GDAL_PAM_ENABLED": "YES"})
    try:
        with untouched_inputs():
            assert pyogrio.get_gdal_config_option("GDAL_PAM_ENABLED") == "NO"
        assert pyogrio.get_gdal_config_option("GDAL_PAM_ENABLED") == "YES"
    finally:
        pyogrio.set_gdal_config_options({"GDAL_PAM_ENABLED": None})


def test_settings_come_back_after_an_error():
    with pytest.raises(ZeroDivisionError), untouched_inputs():
        1 / 0  # noqa: B018
    assert pyogrio.get_gdal_config_option("GDAL_PAM_ENABLED") is None


@pytest.mark.parametrize("stated", [{}, {"layer": "roads"}])
def test_no_index_is_written_beside_a_gml_file(folder, stated):
    folder.write("infestations", [folder.square(0)], **HOST)
    path = folder.write("roads", [folder.line], file="roads.gml", road_class="track")
    folder.layers["roads"].update(stated)
    path.with_suffix(".xsd").unlink()
    folder.season()
    before = listing(folder.folder)
    assert len(folder.read().vectors["roads"]) == 1
    assert next(iter(read_vector_file(path))).rows == 1
    assert listing(folder.folder) == before
