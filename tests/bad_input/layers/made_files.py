"""Broken files that are no plain text, each made by the function of its case's name in the case's folder."""

import csv
import shutil
import struct
import warnings
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import openpyxl
import shapely
from openpyxl.worksheet.worksheet import Worksheet

MEGABYTE = 1_000_000
PICTURE = (
    b"\x89PNG\r\n\x1a\n"
    + b"\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x02\x00\x00\x00\x90wS\xde"
    + b"\x00\x00\x00\x0cIDAT\x08\xd7c\xf8\xcf\xc0\x00\x00\x03\x01\x01\x00\x18\xdd\x8d\xb0"
    + b"\x00\x00\x00\x00IEND\xaeB`\x82"
)
LAND = """<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>crop</name><Polygon><outerBoundaryIs>
<LinearRing><coordinates>-109.6,47.1 -109.5,47.1 -109.5,47.2 -109.6,47.1</coordinates></LinearRing>
</outerBoundaryIs></Polygon></Placemark></Document></kml>
"""
ROADS = """<gpx version="1.1" creator="a receiver" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
<trkpt lat="47.1" lon="-109.6"></trkpt><trkpt lat="47.2" lon="-109.5"></trkpt></trkseg></trk></gpx>
"""
ALL_KINDS = (
    "weeds.gpkg",
    "surveyed.shp",
    "releases.geojson",
    "visits.csv",
    "requests.xlsx",
    "treatments.fgb",
    "land.kml",
    "districts.zip",
    "roads.gpx",
)


def write_map(path: Path, crs: int | str | None = 4326, **more: object) -> None:
    """Write the weeds of the base as outlines."""
    rows = write_rows(path.parent)
    places = [shapely.Point(float(row["longitude_deg"]), float(row["latitude_deg"])) for row in rows]
    data = {key: [row[key] for row in rows] for key in ("id", "host", "survey_date")}
    data["cover"] = [float(row["cover"]) for row in rows]
    # What other layers need, so that one file is whole as any of them.
    data |= {"treatment_id": data["id"], "kind": "mowing", "start": data["survey_date"]}
    frame = gpd.GeoDataFrame(data, geometry=shapely.buffer(places, 0.001), crs=4326)
    frame = frame.set_crs(None, allow_override=True) if crs is None else frame.to_crs(crs)
    with warnings.catch_warnings():
        # That a reference system is missing, and a column's name cut, is what is wanted here.
        warnings.simplefilter("ignore", UserWarning)
        warnings.simplefilter("ignore", RuntimeWarning)
        frame.to_file(path, **more)


def write_rows(folder: Path) -> list[dict[str, str]]:
    """Return the rows of the base's table of weeds."""
    with (folder / "weeds.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def write_sheet(folder: Path, change: Callable[[Worksheet], None] | None = None) -> openpyxl.Workbook:
    """Write the weeds of the base as a spreadsheet with numbers as numbers, changed if asked."""
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Weeds"
    rows = write_rows(folder)
    page.append(list(rows[0]))
    for row in rows:
        page.append(
            [float(cell) if cell.replace(".", "").lstrip("-").isdigit() else cell for cell in row.values()]
        )
    if change is not None:
        change(page)
    book.save(folder / "weeds.xlsx")
    return book


def write_all_kinds(folder: Path) -> None:
    """Write a good file of each kind, its content aside."""
    write_map(folder / "weeds.gpkg")
    for name in ("surveyed.shp", "treatments.fgb"):
        write_map(folder / name)
    # Not written by the library, so that it breaks off at the same place whichever the library's version.
    shutil.copyfile(folder / "districts.geojson", folder / "releases.geojson")
    (folder / "land.kml").write_text(LAND, encoding="utf-8")
    (folder / "roads.gpx").write_text(ROADS, encoding="utf-8")
    write_sheet(folder).save(folder / "requests.xlsx")
    (folder / "weeds.xlsx").unlink()
    with zipfile.ZipFile(folder / "districts.zip", "w") as packed:
        packed.write(folder / "districts.geojson", "districts.geojson")


def shapefile_without_prj(folder: Path) -> None:
    write_map(folder / "weeds.shp", crs=None)


def shapefile_without_shx(folder: Path) -> None:
    write_map(folder / "weeds.shp")
    (folder / "weeds.shx").unlink()


def shapefile_without_dbf(folder: Path) -> None:
    write_map(folder / "weeds.shp")
    (folder / "weeds.dbf").unlink()


def layer_name_misspelt(folder: Path) -> None:
    write_map(folder / "survey.gpkg", layer="weeds_2025")
    write_map(folder / "survey.gpkg", layer="roads")


def several_layers_and_none_named(folder: Path) -> None:
    layer_name_misspelt(folder)


def geopackage_of_an_undefined_system(folder: Path) -> None:
    write_map(folder / "weeds.gpkg", crs=None)


def utf_8_with_a_mark(folder: Path) -> None:
    path = folder / "weeds.csv"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())


def letters_of_western_europe(folder: Path) -> None:
    path = folder / "weeds.csv"
    text = path.read_text(encoding="utf-8").replace("\n", ",\n").replace("latitude_deg,", "latitude_deg,name")
    path.write_bytes(text.replace("47.14,", "47.14,Käferwiese").encode("latin-1"))


def encoding_stated_wrongly(folder: Path) -> None:
    letters_of_western_europe(folder)


def spreadsheet_with_merged_cells(folder: Path) -> None:
    def change(page: Worksheet) -> None:
        page.merge_cells("B2:B3")
        page.merge_cells("C4:D4")

    write_sheet(folder, change)


def spreadsheet_with_numbers_as_text(folder: Path) -> None:
    def change(page: Worksheet) -> None:
        page["C2"], page["D3"], page["F4"] = "40", "0.8", "-109.55"

    write_sheet(folder, change)


def spreadsheet_with_two_sheets(folder: Path) -> None:
    book = write_sheet(folder)
    book.create_sheet("Read me", 0).append(["how this table was made"])
    book.save(folder / "weeds.xlsx")


def spreadsheet_with_formula_errors(folder: Path) -> None:
    def change(page: Worksheet) -> None:
        for at, error in (("C2", "#N/A"), ("D3", "#REF!"), ("E4", "#VALUE!"), ("G5", "#DIV/0!")):
            page[at].value, page[at].data_type = error, "e"

    write_sheet(folder, change)


def spreadsheet_with_an_empty_sheet(folder: Path) -> None:
    write_sheet(folder, lambda page: page.delete_rows(1, 9))


def files_of_no_bytes(folder: Path) -> None:
    for name in ALL_KINDS:
        (folder / name).write_bytes(b"")
    for name in ("surveyed.shx", "surveyed.dbf"):
        (folder / name).write_bytes(b"")


def files_cut_in_half(folder: Path) -> None:
    write_all_kinds(folder)
    for name in ALL_KINDS:
        stored = (folder / name).read_bytes()
        (folder / name).write_bytes(stored[: len(stored) // 2])


def pictures_under_other_names(folder: Path) -> None:
    for name in ALL_KINDS:
        (folder / name).write_bytes(PICTURE)


def zip_that_unpacks_to_gigabytes(folder: Path) -> None:
    """Write a zip whose one member says it holds 5 GB, in the list of contents and in its own head."""
    block = zlib.compressobj(9, wbits=-15)
    packed = block.compress(bytes(MEGABYTE)) + block.flush()
    size, name = 5_000 * MEGABYTE, b"weeds.geojson"
    wide = struct.pack("<HHQQ", 1, 16, size, len(packed))
    head = struct.pack("<HHHHHIIIHH", 45, 0, 8, 0, 0, 0, 2**32 - 1, 2**32 - 1, len(name), len(wide))
    local = b"PK\x03\x04" + head + name + wide + packed
    central = (
        b"PK\x01\x02" + struct.pack("<H", 45) + head + struct.pack("<HHHII", 0, 0, 0, 0, 0) + name + wide
    )
    end = b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, 1, 1, len(central), len(local), 0)
    (folder / "weeds.zip").write_bytes(local + central + end)


def zip_with_a_password(folder: Path) -> None:
    with zipfile.ZipFile(folder / "weeds.zip", "w") as packed:
        packed.write(folder / "districts.geojson", "weeds.geojson")
    stored = bytearray((folder / "weeds.zip").read_bytes())
    # The lowest bit of the flags says that a member is locked.
    for sign, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        stored[stored.index(sign) + flags] |= 1
    (folder / "weeds.zip").write_bytes(bytes(stored))


def zip_with_nothing_in_it(folder: Path) -> None:
    zipfile.ZipFile(folder / "weeds.zip", "w").close()


def zip_with_a_table(folder: Path) -> None:
    with zipfile.ZipFile(folder / "weeds.zip", "w") as packed:
        packed.write(folder / "weeds.csv", "weeds.csv")


def folder_where_a_file_is_needed(folder: Path) -> None:
    (folder / "weeds.gpkg").mkdir()
    write_map(folder / "weeds.geojson")
    (folder / "weeds.geojson").rename(folder / "weeds.gpkg" / "weeds.geojson")


def geodatabase_without_anything_in_it(folder: Path) -> None:
    (folder / "weeds.gdb").mkdir()


def path_with_spaces_and_letters(folder: Path) -> None:
    (folder / "Käfer & Disteln 2025").mkdir()
    (folder / "weeds.csv").rename(folder / "Käfer & Disteln 2025" / "weeds (final).csv")


def link_to_itself(folder: Path) -> None:
    (folder / "weeds.gpkg").symlink_to("weeds.gpkg")


def spreadsheet_of_an_old_program(folder: Path) -> None:
    (folder / "weeds.xls").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504))
