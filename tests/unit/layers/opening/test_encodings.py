import geopandas as gpd
import pytest

HEADER = "host;cover;area;longitude_deg;latitude_deg;name;survey_date"
KEYS = {"units": {"cover": "percent", "area": "ha"}}


def write_table(folder, name, stored_as, **keys):
    text = f"{HEADER}\nashthorn;40;1;-110;47;{name};2025-01-01\n"
    (folder.folder / "weeds.csv").write_bytes(text.encode(stored_as))
    folder.add("infestations", "weeds.csv", **KEYS, **keys)


@pytest.mark.parametrize(
    ("name", "stored_as", "stated"),
    [
        ("Żółw – łąka", "cp1250", "cp1250"),
        ("Чертополох", "cp1251", "windows-1251"),
        ("Château", "latin-1", "iso-8859-1"),
        ("草原", "gb18030", "GB18030"),
        ("Å", "utf-8", "utf-8"),
        ("Å", "utf-8-sig", "utf-8"),
        ("草原 Å", "utf-16", None),
        ("Å", "utf-8-sig", None),
    ],
)
def test_text_tables_in_any_encoding_that_is_stated_or_marked(folder, found, name, stored_as, stated):
    write_table(folder, name, stored_as, **({"encoding": stated} if stated else {}))
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() == [name]
    assert found(layers, "encoding-assumed") == []


def test_a_stated_encoding_the_bytes_are_not_in(folder, told):
    write_table(folder, "Château", "latin-1", encoding="utf-8")
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "encoding-wrong") == (
        "stop: layers.infestations\n"
        "  the season says that 'weeds.csv' is stored in utf-8, but line 2 of it is not.\n"
        '  Fix: State the encoding it was saved in, for instance: encoding = "cp1252"'
    )


def test_the_separator_line_of_spreadsheet_programs(folder):
    text = f"sep=;\r\n{HEADER}\r\nashthorn;40;1;-110;47;Ford;2025-01-01\r\n"
    (folder.folder / "weeds.csv").write_bytes(text.encode())
    folder.add("infestations", "weeds.csv", **KEYS)
    assert folder.read().vectors["infestations"]["name"].tolist() == ["Ford"]


def write_shapefile(folder, name, stored_as, with_cpg):
    path = folder.folder / "weeds.shp"
    data = {"host": "ashthorn", "cover": 40.0, "survey_dat": "2025-01-01", "name": name}
    gpd.GeoDataFrame(data, geometry=[folder.square()], crs=4326, index=[0]).to_file(path, encoding=stored_as)
    if not with_cpg:
        path.with_suffix(".cpg").unlink()
    folder.add("infestations", "weeds.shp", columns={"survey_date": "survey_dat"})
    return path


@pytest.mark.parametrize("stored_as", ["UTF-8", "ISO-8859-1", "CP1252", "CP852"])
def test_shapefiles_with_a_cpg(folder, found, stored_as):
    path = write_shapefile(folder, "Château é", stored_as, with_cpg=True)
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() == ["Château é"]
    assert gpd.read_file(path)["name"].tolist() == ["Château é"]
    assert found(layers, "encoding-assumed") == []


@pytest.mark.parametrize("stored_as", ["UTF-8", "CP852"])
def test_shapefiles_without_one(folder, told, found, stored_as):
    write_shapefile(folder, "Château é", stored_as, with_cpg=False)
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() != ["Château é"]
    assert told(layers, "encoding-assumed") == (
        "caution: layers.infestations\n"
        "  'weeds.shp' does not say how its letters are stored; it was read as ISO-8859-1, so letters with "
        "accents may be wrong.\n"
        '  Fix: If they are right, add: encoding = "ISO-8859-1"'
    )
    folder.layers["infestations"]["encoding"] = stored_as.lower()
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() == ["Château é"]
    assert found(layers, "encoding-assumed") == []


def test_plain_letters_need_no_encoding(folder, found):
    write_shapefile(folder, "Ford", "CP852", with_cpg=False)
    assert found(folder.read(), "encoding-assumed") == []


def test_a_shapefile_in_another_encoding_than_stated(folder, told):
    write_shapefile(folder, "Château", "CP1252", with_cpg=False)
    folder.layers["infestations"]["encoding"] = "utf-8"
    text = told(folder.read(), "encoding-wrong")
    assert "  the season says that 'weeds.shp' is stored in utf-8, but a text of it is not.\n" in text


def test_formats_that_say_it_themselves(folder, told):
    folder.write("infestations", [folder.square()], host="ashthorn", cover=40.0, name="Château")
    folder.layers["infestations"]["encoding"] = "cp1252"
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() == ["Château"]
    assert told(layers, "encoding-unused") == (
        "note: layers.infestations\n"
        "  'infestations.gpkg' says itself how its letters are stored; encoding = \"cp1252\" was not used.\n"
        "  Fix: Take the `encoding` line out of this layer."
    )
