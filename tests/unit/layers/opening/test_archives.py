import zipfile

import geopandas as gpd
import pytest

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def pack(folder, *files, into="weeds.zip", inside="", **keys):
    path = folder.folder / into
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for file in files:
            packed.write(file, f"{inside}{file.name}")
    folder.add("infestations", into, **keys)
    return path


def parts_of(path):
    return sorted(item for item in path.parent.iterdir() if item.stem == path.stem)


@pytest.mark.parametrize("inside", ["", "Karten 2025/é/"])
@pytest.mark.parametrize("file", ["patches.shp", "patches.gpkg", "patches.geojson", "patches.fgb"])
def test_a_zipped_map_is_what_geopandas_reads_from_the_map_itself(folder, file, inside):
    path = folder.write("infestations", [folder.square(0), folder.square(1)], file=file, **HOST)
    pack(
        folder, *parts_of(path), inside=inside, columns={"survey_date": "survey_dat"} if "shp" in file else {}
    )
    for item in parts_of(path):
        item.unlink() if item.suffix != ".zip" else None
    layers = folder.read()
    drawn = gpd.GeoSeries([folder.square(0), folder.square(1)], crs=4326).to_crs(layers.crs)
    read = layers.vectors["infestations"].geometry
    assert sorted(read.area.tolist()) == pytest.approx(sorted(drawn.area.tolist()), rel=1e-6)
    assert [file.name for file in layers.inputs if file.name.endswith(".zip")] == ["weeds.zip"]
    # Nothing is unpacked beside it.
    assert sorted(item.name for item in folder.folder.iterdir()) == ["agents", "season.toml", "weeds.zip"]


def test_a_zipped_geodatabase(folder):
    frame = gpd.GeoDataFrame(HOST, geometry=[folder.square()], crs=4326, index=[0])
    place = folder.folder / "weeds.gdb"
    frame.to_file(place, driver="OpenFileGDB", layer="patches")
    with zipfile.ZipFile(folder.folder / "weeds.zip", "w") as packed:
        for file in place.iterdir():
            packed.write(file, f"weeds.gdb/{file.name}")
    folder.add("infestations", "weeds.zip")
    assert len(folder.read().vectors["infestations"]) == 1


def test_the_first_of_several_maps_is_said_and_a_name_chooses(folder, told, found):
    one = folder.write("infestations", [folder.square(0)], file="a.gpkg", **HOST)
    other = folder.write("infestations", [folder.square(0), folder.square(1)], file="b.gpkg", **HOST)
    pack(folder, one, other)
    assert told(folder.read(), "layer-chosen") == (
        "note: layers.infestations\n"
        "  'weeds.zip' holds 2 maps (a.gpkg, b.gpkg); 'a.gpkg' is the first and was read.\n"
        '  Fix: To be sure of it, add: layer = "a"'
    )
    folder.layers["infestations"]["layer"] = "b"
    layers = folder.read()
    assert len(layers.vectors["infestations"]) == 2
    assert found(layers, "layer-chosen") == []


def test_no_map_inside(folder, told):
    note = folder.folder / "note.md"
    note.write_text("nothing here", encoding="utf-8")
    pack(folder, note)
    assert told(folder.read(), "archive-without-map") == (
        "stop: layers.infestations\n"
        "  'weeds.zip' holds no map that can be read; it holds note.md.\n"
        "  Fix: Pack a GeoPackage, or a shapefile with its .shp, .shx, .dbf and .prj."
    )
    table = folder.folder / "weeds.csv"
    table.write_text("host\nashthorn\n", encoding="utf-8")
    pack(folder, table)
    assert told(folder.read(), "archive-without-map") == (
        "stop: layers.infestations\n"
        "  'weeds.zip' holds a table (weeds.csv) and no map; tables are not read from zip files.\n"
        "  Fix: Unpack it and give the table itself."
    )


def test_locked_and_broken(folder, told):
    path = pack(folder, folder.write("infestations", [folder.square()], file="a.gpkg", **HOST))
    stored = bytearray(path.read_bytes())
    # The lock is bit 0 of the flags, 6 bytes into the local header and 8 into the one of the list.
    stored[6] |= 1
    stored[stored.index(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(bytes(stored))
    assert told(folder.read(), "file-unreadable") == (
        "stop: layers.infestations\n"
        "  'weeds.zip' is locked by a password.\n"
        "  Fix: Unpack it and give the files in it."
    )
    path.write_bytes(bytes(stored)[:200])
    assert told(folder.read(), "file-unreadable") == (
        "stop: layers.infestations\n"
        "  'weeds.zip' is damaged, or only a part of it is there.\n"
        "  Fix: Copy or download it again, or give the files in it."
    )
