import sqlite3

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import pytest
import shapely

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


@pytest.mark.parametrize("file", ["weeds.gpkg", "weeds.shp", "weeds.geojson", "weeds.fgb"])
def test_the_same_whatever_the_format(folder, file):
    names = {"host": "ashthorn", "manager": ["Å & Sons", "Harl"], "cover": [40.5, 12.0]}
    path = folder.write("infestations", [folder.square(0), folder.square(1)], file=file, **names)
    layers = folder.read()
    frame = layers.vectors["infestations"].sort_values("manager", ignore_index=True)
    plain = gpd.read_file(path).to_crs(layers.crs).sort_values("manager", ignore_index=True)
    assert frame["manager"].tolist() == plain["manager"].tolist()
    assert frame["cover_share"].tolist() == (plain["cover"] / 100).tolist()
    # Coordinates of GeoJSON are written with seven decimals of a degree, a centimetre.
    assert shapely.hausdorff_distance(frame.geometry.to_numpy(), plain.geometry.to_numpy()).max() < 1e-6


def test_dates_of_every_format_are_the_same_day(folder):
    for file in ("a.gpkg", "b.shp", "c.geojson", "d.fgb"):
        folder.layers.clear()
        dates = [pd.Timestamp("2024-02-29")]
        folder.write("infestations", [folder.square()], file=file, host="ashthorn", cover=1.0, surveyed=dates)
        folder.layers["infestations"]["columns"] = {"survey_date": "surveyed"}
        assert folder.read().vectors["infestations"]["survey_date"].tolist() == [pd.Timestamp("2024-02-29")]


def write_layers(folder):
    path = folder.folder / "maps.gpkg"
    for name in ("weeds", "roads"):
        gpd.GeoDataFrame(
            {"host": ["ashthorn"], "cover": [4.0]}, geometry=[folder.square()], crs=4326
        ).to_file(path, layer=name)


def test_first_of_several_layers_is_said(folder, told):
    write_layers(folder)
    folder.add("infestations", "maps.gpkg")
    assert told(folder.read(), "layer-chosen") == (
        "note: layers.infestations\n"
        "  'maps.gpkg' has 2 layers (weeds, roads); 'weeds' is the first and was read.\n"
        '  Fix: To be sure of it, add: layer = "weeds"; if another is meant, for instance: layer = "roads"'
    )


def test_layer_that_is_not_there(folder, told):
    write_layers(folder)
    folder.add("infestations", "maps.gpkg", layer="weed")
    assert told(folder.read(), "layer-not-found") == (
        "stop: layers.infestations\n"
        "  'maps.gpkg' has no layer 'weed'; its layers are weeds, roads.\n"
        "  Fix: Did you mean 'weeds'? Then write: layer = \"weeds\""
    )


def test_missing_file(folder, told):
    folder.add("infestations", "weeds/map.gpkg")
    assert told(folder.read(), "file-missing") == (
        "stop: layers.infestations\n"
        "  there is no file 'weeds/map.gpkg' in the season file's folder.\n"
        "  Fix: Check the spelling of `path`, or put the file there."
    )


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty: it has 0 bytes."),
        (b"not a map at all", "is not a GeoPackage, is damaged, or only a part of it is there."),
    ],
)
def test_file_that_is_no_map(folder, told, content, words):
    (folder.folder / "weeds.gpkg").write_bytes(content)
    folder.add("infestations", "weeds.gpkg")
    text = told(folder.read(), "file-unreadable")
    assert text.startswith(
        f"stop: layers.infestations\n  'weeds.gpkg' {words}\n  Fix: Copy or download it again"
    )


def test_shapefile_without_its_index_is_refused_and_not_written(folder, told):
    path = folder.write("infestations", [folder.square()], file="weeds.shp", **HOST)
    path.with_suffix(".shx").unlink()
    text = told(folder.read(), "file-unreadable")
    assert "  'weeds.shp' has no 'weeds.shx' beside it, which says where each shape begins.\n" in text
    assert not path.with_suffix(".shx").exists()


def change(path, *statements):
    """Change a GeoPackage behind the back of its library; its triggers need functions SQLite lacks."""
    database = sqlite3.connect(path)
    for (name,) in database.execute("select name from sqlite_master where type = 'trigger'").fetchall():
        database.execute(f'drop trigger "{name}"')
    for statement, values in statements:
        database.execute(statement, values)
    database.commit()
    database.close()


def test_what_the_reader_warns_of_becomes_a_note(folder, found):
    path = folder.write("infestations", [folder.square()], **HOST)
    change(path, ("pragma application_id = 7", ()))
    layers = folder.read()
    assert layers.has("infestations")
    texts = [finding.text() for finding in found(layers, "reader-said")]
    assert len(texts) == len(set(texts)) > 0
    assert all(text.startswith('note: layers.infestations\n  the file reader said: "') for text in texts)
    assert "application_id" in texts[0]
    # Findings go into the outputs: no folder of this machine may be in them.
    assert not any(str(folder.folder) in text for text in texts)


def test_stored_but_broken_shape(folder, told):
    path = folder.write("infestations", [folder.square(0), folder.square(1)], **HOST)
    database = sqlite3.connect(path)
    [(stored,)] = database.execute("select geom from infestations where fid = 2").fetchall()
    database.close()
    # The outline's last corner moves away from the first, so that the ring is open.
    broken = stored[:-16] + np.float64(-100.0).tobytes() + stored[-8:]
    change(path, ("update infestations set geom = ? where fid = 2", (broken,)))
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "geometry-broken") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: its geometry is stored but cannot be read (an open or too short ring, for instance).\n"
        "  Fix: Draw the feature again, or take the row out."
    )


def test_table_without_shapes_in_a_geopackage(folder):
    path = folder.folder / "table.gpkg"
    table = pd.DataFrame(
        {
            "host": ["ashthorn"],
            "cover": [4.0],
            "area": [1.0],
            "longitude_deg": [-110.0],
            "latitude_deg": [47.0],
        }
    )
    pyogrio.write_dataframe(table, path)
    folder.add("infestations", "table.gpkg")
    assert folder.read().vectors["infestations"].area.tolist() == pytest.approx([10_000.0])


def test_empty_layer_of_records_is_kept_empty(folder, told):
    folder.write("releases", [], release_id=[], agent=[], date=[])
    layers = folder.read()
    assert len(layers.vectors["releases"]) == 0
    assert layers.vectors["releases"]["date"].dtype.kind == "M"
    assert told(layers, "layer-empty") == (
        "caution: layers.releases\n  'releases.gpkg' holds no feature.\n  Fix: Give the file that has them."
    )


def test_empty_infestations_stop(folder, told):
    folder.write("infestations", [], host=[], cover=[])
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "layer-empty").startswith("stop: layers.infestations")


@pytest.mark.parametrize("file", ["roads.gml", "roads.kml"])
def test_a_file_without_a_layer_stops(folder, told, file):
    empty = {
        "roads.gml": '<ogr:FeatureCollection xmlns:ogr="http://ogr.maptools.org/" '
        'xmlns:gml="http://www.opengis.net/gml"></ogr:FeatureCollection>',
        "roads.kml": '<kml xmlns="http://www.opengis.net/kml/2.2"><Document></Document></kml>',
    }[file]
    (folder.folder / file).write_text(empty, encoding="utf-8")
    folder.add("roads", file)
    layers = folder.read()
    assert not layers.has("roads")
    assert told(layers, "file-unreadable").startswith("stop: layers.roads\n")
