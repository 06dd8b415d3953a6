import pandas as pd
import pytest

HEADER = ["host", "cover", "area", "longitude_deg", "latitude_deg", "name", "survey_date"]
ROW = ["ashthorn", "40", "1.5", "-110.0", "47.0", "Lantern terrace", "2025-01-01"]
KEYS = {"units": {"cover": "percent", "area": "ha"}}


def test_named_degrees_are_wgs84_and_said(folder, told):
    folder.write_table("infestations", [HEADER, ROW], **KEYS)
    layers = folder.read()
    frame = layers.vectors["infestations"]
    at = frame.geometry.centroid.to_crs(4326).iloc[0]
    assert (at.x, at.y) == pytest.approx((-110.0, 47.0), abs=1e-9)
    assert frame.area.tolist() == pytest.approx([15_000.0])
    assert told(layers, "crs-assumed") == (
        "note: layers.infestations\n"
        "  the columns longitude_deg and latitude_deg were read as WGS 84 degrees (EPSG:4326).\n"
        '  Fix: If they are in another system, state it: crs = "EPSG:..."'
    )


def test_cells_are_those_pandas_reads(folder):
    quoted = [*ROW[:5], 'The "old" gate,\nby the ford; north', ROW[6]]
    path = folder.write_table("infestations", [HEADER, ROW, quoted], **KEYS)
    plain = pd.read_csv(path, dtype=str)
    assert folder.read().vectors["infestations"]["name"].tolist() == plain["name"].tolist()


def test_other_names_need_a_mapping_and_a_stated_system(folder, told):
    header = ["host", "cover", "area", "lon", "lat", "name", "survey_date"]
    columns = {"longitude_deg": "lon", "latitude_deg": "lat"}
    folder.write_table("infestations", [header, ROW], columns=columns, **KEYS)
    assert "'infestations.csv' does not say which coordinate reference system" in told(
        folder.read(), "missing-crs"
    )
    folder.layers["infestations"]["crs"] = "EPSG:4269"
    assert len(folder.read().vectors["infestations"]) == 1


def test_degrees_in_a_projected_system_stop(folder, told):
    folder.write_table("infestations", [HEADER, ROW], crs="EPSG:32612", **KEYS)
    assert told(folder.read(), "crs-not-geographic") == (
        "stop: layers.infestations\n"
        "  the position columns hold degrees, but the season says WGS 84 / UTM zone 12N, which is not in "
        "degrees.\n"
        '  Fix: State a system in degrees: crs = "EPSG:4326"'
    )


def test_no_position_columns(folder, told):
    folder.write_table("infestations", [["host", "cover", "longitude", "lat"], ["ashthorn", "4", "1", "2"]])
    assert told(folder.read(), "position-columns-missing") == (
        "stop: layers.infestations\n"
        "  'infestations.csv' has no shapes and no column for longitude_deg and latitude_deg; its columns "
        "are host, cover, longitude, lat.\n"
        '  Fix: Did you mean these? Then write: columns = {longitude_deg = "longitude", latitude_deg = "lat"}; '
        "easting_m, northing_m and utm_zone, or grid_reference, do as well."
    )


def test_unreadable_and_blank_positions(folder, told, found):
    rows = [
        HEADER,
        ROW,
        [*ROW[:3], "west", "47", *ROW[5:]],
        [*ROW[:3], "", "", *ROW[5:]],
        [*ROW[:3], "-110", "", *ROW[5:]],
    ]
    folder.rules["max_bad_share"] = 0.9
    folder.write_table("infestations", rows, **KEYS)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert [finding.what for finding in found(layers, "position-unreadable")] == [
        "Set aside: longitude_deg 'west' is not a number of degrees.",
        "Set aside: latitude_deg is blank.",
    ]
    assert told(layers, "geometry-missing").startswith("caution: layers.infestations feature row 4\n")


def test_uneven_rows_are_set_aside(folder, told):
    folder.write_table("infestations", [HEADER, ROW, [*ROW, "extra"]], **KEYS)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert told(layers, "uneven-row") == (
        "caution: layers.infestations feature row 3\n"
        "  Set aside: it has 8 cells; the header has 7.\n"
        "  Fix: Put quotes around cells that hold the delimiter or a new line."
    )


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_other_delimiters_and_byte_order_mark(folder, delimiter):
    path = folder.folder / "weeds.csv"
    path.write_text("\n".join(delimiter.join(row) for row in (HEADER, ROW)), encoding="utf-8-sig")
    folder.add("infestations", "weeds.csv", **KEYS)
    assert folder.read().vectors["infestations"]["name"].tolist() == ["Lantern terrace"]


def test_windows_letters_are_read_with_a_caution(folder, told):
    path = folder.folder / "weeds.csv"
    path.write_bytes("\n".join([",".join(HEADER), ",".join([*ROW[:5], "Château", ROW[6]])]).encode("cp1252"))
    folder.add("infestations", "weeds.csv", **KEYS)
    layers = folder.read()
    assert layers.vectors["infestations"]["name"].tolist() == ["Château"]
    assert told(layers, "encoding-assumed") == (
        "caution: layers.infestations\n"
        "  'weeds.csv' is not UTF-8 (line 2); it was read as Windows-1252, so letters with accents may be "
        "wrong.\n"
        '  Fix: Save the table as CSV UTF-8, or state what it is, for instance: encoding = "cp1252"'
    )


def test_apostrophe_of_our_own_tables_comes_off(folder):
    folder.write_table("infestations", [HEADER, [*ROW[:5], "'=1+1", ROW[6]]], **KEYS)
    assert folder.read().vectors["infestations"]["name"].tolist() == ["=1+1"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty: it has 0 bytes.\n  Fix: Copy or download it again, or save it anew."),
        (
            b"\n\n",
            "is empty; not even a header is there.\n"
            "  Fix: Give a table with a header and one row for each feature.",
        ),
    ],
)
def test_empty_table(folder, told, content, words):
    (folder.folder / "weeds.csv").write_bytes(content)
    folder.add("infestations", "weeds.csv")
    assert told(folder.read(), "file-unreadable") == f"stop: layers.infestations\n  'weeds.csv' {words}"


def test_repeated_column(folder, told):
    folder.write_table("infestations", [[*HEADER, "host"], [*ROW, "x"]])
    assert told(folder.read(), "column-repeated") == (
        "stop: layers.infestations\n"
        "  'infestations.csv' has more than one column called host.\n"
        "  Fix: Give each column a name of its own."
    )


def test_header_only_is_an_empty_layer(folder, told):
    folder.write_table("infestations", [HEADER], **KEYS)
    assert "'infestations.csv' holds no feature." in told(folder.read(), "layer-empty")
