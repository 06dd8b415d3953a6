import numpy as np
import pytest
import shapely
from pyproj import Transformer

REST = ["host", "cover", "area", "survey_date"]
FILLED = ["ashthorn", "40", "1.5", "2025-01-01"]
KEYS = {"units": {"cover": "percent", "area": "ha"}}
# A point near 47 N 110 W in UTM zone 12 north, to the millimetre, by pyproj.
EAST, NORTH = Transformer.from_crs(4326, 32612, always_xy=True).transform(-110.0, 47.0)


def write(folder, header, rows, **keys):
    table = [[*header, *REST], *([*row, *FILLED] for row in rows)]
    return folder.write_table("infestations", table, **{**KEYS, **keys})


def centres(layers):
    to_degrees = Transformer.from_crs(layers.crs, 4326, always_xy=True)
    middles = shapely.get_coordinates(layers.vectors["infestations"].geometry.centroid.to_numpy())
    return np.column_stack(to_degrees.transform(middles[:, 0], middles[:, 1]))


HERE = [[-110.0, 47.0]]


@pytest.mark.parametrize(
    ("header", "row", "keys"),
    [
        (["longitude_deg", "latitude_deg"], ["110°00'00\"W", "47 0 0 N"], {}),
        (["easting_m", "northing_m", "utm_zone"], [f"{EAST:.4f}", f"{NORTH:.4f}", "12T"], {}),
        (
            ["easting_m", "northing_m", "utm_zone"],
            [f"{EAST:.4f}", f"{NORTH:.4f}", "12N"],
            {"crs": "EPSG:32612"},
        ),
        (["easting_m", "northing_m"], [f"{EAST:.4f}", f"{NORTH:.4f}"], {"crs": "EPSG:32612"}),
        (["grid_reference"], ["12T WT 76025 05649"], {}),
        (
            ["LON", "LAT"],
            ["110 W", "47 N"],
            {"crs": "EPSG:4326", "columns": {"longitude_deg": "LON", "latitude_deg": "LAT"}},
        ),
    ],
)
def test_one_place_in_every_way(folder, header, row, keys):
    write(folder, header, [row], **keys)
    layers = folder.read()
    # A grid reference names a metre; its middle is up to 0.71 m off, which is 1e-5 degrees.
    assert centres(layers) == pytest.approx(np.array(HERE), abs=1e-5 if len(header) == 1 else 1e-8)


def test_what_was_assumed_is_said(folder, told):
    write(folder, ["easting_m", "northing_m", "utm_zone"], [[f"{EAST}", f"{NORTH}", "12N"]])
    assert told(folder.read(), "crs-assumed") == (
        "note: layers.infestations\n"
        "  the columns easting_m, northing_m and utm_zone were read as WGS 84 positions (the datum of "
        "EPSG:4326).\n"
        '  Fix: If they are in another system, state it: crs = "EPSG:..."'
    )
    folder.layers.clear()
    write(folder, ["grid_reference"], [["12T VT 12345 67890"]])
    assert "  the column grid_reference was read as WGS 84 positions (the datum of EPSG:4326).\n" in told(
        folder.read(), "crs-assumed"
    )


def test_zones_of_another_datum(folder):
    # UTM 12 of NAD27 differs from that of WGS 84 by about 200 m there; the way between is pyproj's.
    write(folder, ["easting_m", "northing_m", "utm_zone"], [[f"{EAST}", f"{NORTH}", "12N"]], crs="EPSG:4267")
    layers = folder.read()
    direct = Transformer.from_crs(26712, 4326, always_xy=True).transform(EAST, NORTH)
    assert centres(layers)[0] == pytest.approx(direct, abs=2e-5)
    assert abs(centres(layers)[0][1] - 47.0) > 1e-3


def test_rows_that_cannot_be_read_say_why(folder, found):
    folder.rules["max_bad_share"] = 1.0
    rows = [
        [f"{EAST}", f"{NORTH}", "12"],
        [f"{EAST}", f"{NORTH}", ""],
        ["east", f"{NORTH}", "12N"],
        ["", "", ""],
        [f"{EAST}", f"{NORTH}", "12N"],
    ]
    write(folder, ["easting_m", "northing_m", "utm_zone"], rows)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [6]
    assert [finding.text() for finding in found(layers, "position-unreadable")] == [
        f"caution: layers.infestations feature row {row}\n"
        f"  Set aside: {words}\n"
        "  Fix: Write metres, and the zone with its hemisphere: 12 north or 12 south."
        for row, words in (
            (2, "utm_zone '12' names no hemisphere."),
            (3, "utm_zone is blank."),
            (4, "easting_m 'east' is not a number."),
        )
    ]
    [blank] = found(layers, "geometry-missing")
    assert blank.feature == "row 5"


def test_a_projected_system_of_another_zone(folder, told):
    rows = [[f"{EAST}", f"{NORTH}", "12N"], [f"{EAST}", f"{NORTH}", "13N"]]
    write(folder, ["easting_m", "northing_m", "utm_zone"], rows, crs="EPSG:32612")
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert "  Set aside: utm_zone '13N' is not the zone of WGS 84 / UTM zone 12N.\n" in told(
        layers, "position-unreadable"
    )


def test_metres_without_a_system_stop(folder, told):
    write(folder, ["easting_m", "northing_m"], [[f"{EAST}", f"{NORTH}"]])
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "missing-crs") == (
        "stop: layers.infestations\n"
        "  'infestations.csv' does not say which coordinate reference system its coordinates are in.\n"
        '  Fix: Ask whoever made it, then add the line that is true, for instance: crs = "EPSG:32612"'
    )


def test_metres_in_degrees_stop(folder, told):
    write(folder, ["easting_m", "northing_m"], [[f"{EAST}", f"{NORTH}"]], crs="EPSG:4326")
    assert told(folder.read(), "crs-not-projected") == (
        "stop: layers.infestations\n"
        "  easting_m and northing_m are metres on a map, but the season says WGS 84, which is in degrees.\n"
        '  Fix: State the map\'s own system, for instance crs = "EPSG:32612", or give a column utm_zone.'
    )


def test_zones_in_a_system_without_zones_stop(folder, told):
    write(folder, ["easting_m", "northing_m", "utm_zone"], [["1", "2", "12N"]], crs="EPSG:5070")
    assert told(folder.read(), "crs-not-utm") == (
        "stop: layers.infestations\n"
        "  the season says NAD83 / Conus Albers, which is no UTM zone, but the table has a column of UTM zones.\n"
        '  Fix: State the datum of the zones, for instance crs = "EPSG:4326", or take utm_zone out of the table.'
    )


def test_metres_cannot_be_feet(folder, told):
    write(folder, ["easting_m", "northing_m"], [["1", "2"]], crs="EPSG:2256")
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "crs-not-metres") == (
        "stop: layers.infestations\n"
        "  easting_m and northing_m say metres by their names, but NAD83 / Montana (ft) is in foot.\n"
        "  Fix: Find out which is true: state a system in metres, or rename the columns to what they hold."
    )


def test_feet_under_other_names_are_read_in_feet_and_said(folder, told):
    east_ft, north_ft = Transformer.from_crs(4326, 2256, always_xy=True).transform(-110.0, 47.0)
    columns = {"easting_m": "X", "northing_m": "Y"}
    write(folder, ["X", "Y"], [[f"{east_ft}", f"{north_ft}"]], crs="EPSG:2256", columns=columns)
    layers = folder.read()
    # The way from NAD83 to WGS 84 moves a place by a metre or so; a foot taken for a metre by kilometres.
    assert centres(layers) == pytest.approx(np.array(HERE), abs=2e-5)
    assert told(layers, "position-unit") == (
        "note: layers.infestations\n"
        "  X and Y were read in foot, the unit of NAD83 / Montana (ft).\n"
        "  Fix: If they are metres, state the system they are in."
    )


BOTH = ["longitude_deg", "latitude_deg", "utm_zone", "easting_m", "northing_m"]


def test_a_table_that_says_it_twice_is_compared(folder, told):
    # Our own output tables have both. The second row's easting has a digit too many in the kilometres.
    rows = [
        ["-110.0", "47.0", "12N", f"{EAST:.1f}", f"{NORTH:.1f}"],
        ["-110.0", "47.0", "12N", f"{EAST + 3_000:.1f}", f"{NORTH:.1f}"],
    ]
    write(folder, BOTH, rows)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert told(layers, "position-columns-many") == (
        "note: layers.infestations\n"
        "  positions were read from longitude_deg and latitude_deg, not from easting_m and northing_m and "
        "utm_zone; the two were compared.\n"
        '  Fix: To be sure of it, name the one to be read: columns = {longitude_deg = "longitude_deg", '
        'latitude_deg = "latitude_deg"}'
    )
    text = told(layers, "positions-contradict")
    assert text.startswith(
        "caution: layers.infestations feature row 3\n"
        "  Set aside: longitude_deg and latitude_deg and easting_m and northing_m and utm_zone are 3,0"
    )
    assert text.endswith(" m apart.\n  Fix: Correct one of the two, or take its columns out of the file.")


def test_the_one_the_season_names_is_read(folder, found):
    rows = [["-100.0", "40.0", "12N", f"{EAST}", f"{NORTH}"]]
    names = {name: name for name in ("easting_m", "northing_m", "utm_zone")}
    write(folder, BOTH, rows, columns=names)
    layers = folder.read()
    assert centres(layers) == pytest.approx(np.array(HERE), abs=1e-8)
    assert found(layers, "position-columns-many") == []


def test_coarse_references_are_said(folder, told):
    write(folder, ["grid_reference"], [["12T VT 12 67"]])
    assert told(folder.read(), "position-coarse") == (
        "caution: layers.infestations feature row 2\n"
        "  its position names a square; the middle was used, up to 707 m off.\n"
        "  Fix: Write more digits if you have them: eight name a square of 10 m."
    )


def test_one_column_of_a_pair_is_named_as_missing(folder, told):
    write(folder, ["easting_m", "utm_zone"], [["1", "12N"]])
    assert told(folder.read(), "position-columns-missing") == (
        "stop: layers.infestations\n"
        "  'infestations.csv' has no shapes and no column for northing_m; its columns are easting_m, utm_zone, "
        "host, cover, area, survey_date.\n"
        '  Fix: Name them under `columns`: columns = {easting_m = "easting_m", northing_m = "YOURS", '
        'utm_zone = "utm_zone"}.'
    )
