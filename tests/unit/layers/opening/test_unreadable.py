import pytest

PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)
AGAIN = "Copy or download it again; if a program still opens it, save it anew there."
ANOTHER = "Give the right file; another ending to its name does not change what it is."


@pytest.mark.parametrize(
    ("file", "content", "what", "fix"),
    [
        ("w.gpkg", PNG, "is not a GeoPackage; by its first bytes it is a PNG picture.", ANOTHER),
        ("w.shp", PNG, "is not a shapefile; by its first bytes it is a PNG picture.", ANOTHER),
        ("w.csv", b"%PDF-1.7 ...", "is not a text table; by its first bytes it is a PDF document.", ANOTHER),
        ("w.zip", PNG, "is not a zip file; by its first bytes it is a PNG picture.", ANOTHER),
        (
            "w.geojson", b"\xef\xbb\xbf\n<!DOCTYPE HTML><html></html>",
            "is not a GeoJSON; by its first bytes it is a web page.",
            "Download it again: what was saved is a server's answer, perhaps its page to sign in.",
        ),
        (
            "w.fgb", b"\x1f\x8b\x08" + bytes(40),
            "is not a FlatGeobuf; by its first bytes it is a packed file (gzip).",
            "Unpack it and give the file in it.",
        ),
        (
            "w.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(40),
            "is a document of an older office program (.xls, .doc), by its first bytes; that is not read.",
            "Open it in a spreadsheet program and save it as .xlsx.",
        ),
        (
            "w.dwg", b"AC1032 drawing",
            "is no map or table of a kind that is read.",
            "Save it as GeoPackage, shapefile or GeoJSON; a table as .csv or .xlsx.",
        ),
        (
            "w.geojson", b'{"type": "FeatureCollection",\n "features": [{"type": "Fea',
            "is not a GeoJSON, is damaged, or only a part of it is there: it makes no sense from line 2, "
            "column 24 on.",
            AGAIN,
        ),
        (
            "w.kml", b"<kml>\n<Document></kml>",
            "is not a KML, is damaged, or only a part of it is there: it makes no sense from line 2, column 13 "
            "on.",
            AGAIN,
        ),
        ("w.gpkg", b"SQLite format 3\x00" + bytes(40), "is damaged, or only a part of it is there.", AGAIN),
    ],
)  # fmt: skip
def test_why_a_file_cannot_be_read(folder, told, file, content, what, fix):
    (folder.folder / file).write_bytes(content)
    folder.add("infestations", file, crs="EPSG:4326")
    if file == "w.shp":
        (folder.folder / "w.shx").write_bytes(content)
    assert (
        told(folder.read(), "file-unreadable")
        == f"stop: layers.infestations\n  '{file}' {what}\n  Fix: {fix}"
    )


def test_a_folder_that_is_no_geodatabase(folder, told):
    (folder.folder / "w.gdb").mkdir()
    (folder.folder / "w.gdb" / "readme.txt").write_text("nothing", encoding="utf-8")
    folder.add("infestations", "w.gdb")
    assert told(folder.read(), "file-unreadable") == (
        "stop: layers.infestations\n"
        "  'w.gdb' is a folder that is not a file geodatabase; it holds readme.txt.\n"
        "  Fix: Give the map in it, or save the map anew."
    )
