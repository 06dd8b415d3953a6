import datetime as dt

import numpy as np
import openpyxl
import pandas as pd
import pyogrio
import pytest

from geo_scout.layers.opening.merged_cells import read_merged_cells

HEADER = ["host", "cover", "area", "longitude_deg", "latitude_deg", "survey_date", "id"]
KEYS = {"units": {"cover": "percent", "area": "ha"}}


def row(number=0, cover=40, date=dt.date(2025, 6, 1), own_id="007"):
    return ["ashthorn", cover, 1.5, -110.0 + 0.01 * number, 47.0, date, own_id]


def write(folder, rows, merged=(), sheet="Weeds", file="weeds.xlsx", **keys):
    book = openpyxl.Workbook()
    page = book.active
    page.title = sheet
    for cells in rows:
        page.append(cells)
    for block in merged:
        page.merge_cells(block)
    path = folder.folder / file
    book.save(path)
    folder.add("infestations", file, **{**KEYS, **keys})
    return path


def test_cells_are_those_pandas_reads(folder):
    path = write(folder, [HEADER, row(0), row(1, cover=12.25)])
    plain = pd.read_excel(path, dtype={"id": str})
    frame = folder.read().vectors["infestations"]
    assert (100 * frame["cover_share"]).tolist() == pytest.approx(plain["cover"].tolist())
    assert frame["survey_date"].tolist() == plain["survey_date"].tolist()
    assert frame["id"].tolist() == plain["id"].tolist() == ["007", "007"]
    at = frame.geometry.centroid.to_crs(4326)
    assert at.x.tolist() == pytest.approx(plain["longitude_deg"].tolist(), abs=1e-8)
    # Row numbers are those the spreadsheet program shows.
    assert frame["row"].tolist() == [2, 3]


def test_numbers_and_dates_as_text_among_typed_ones(folder, found):
    rows = [HEADER, row(0, cover="12,5", date="03.06.2025"), row(1, cover=40.5, date=dt.date(2025, 6, 4))]
    write(folder, rows, date_format="%d.%m.%Y")
    layers = folder.read()
    frame = layers.vectors["infestations"]
    assert frame["cover_share"].tolist() == [0.125, 0.405]
    assert frame["survey_date"].dt.strftime("%Y-%m-%d").tolist() == ["2025-06-03", "2025-06-04"]
    assert [finding.code for finding in layers.findings if finding.grade != "note"] == ["id-repeated"]
    assert len(found(layers, "comma-read")) == 1


def test_title_above_the_names_is_said(folder, told):
    write(folder, [["Weed survey of the Quillen Valley 2025"], [], HEADER, row()], merged=["A1:G1"])
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [4]
    assert told(layers, "header-row") == (
        "note: layers.infestations\n"
        "  row 3 of sheet 'Weeds' was taken for the names of the columns; the rows above it were not read.\n"
        "  Fix: Take the rows above the names out of the sheet to be sure."
    )


def test_cells_merged_downwards_share_their_value(folder, told):
    rows = [HEADER, row(0, own_id="a"), row(1, own_id="b"), row(2, own_id="c")]
    rows[2][0] = rows[3][0] = None
    path = write(folder, rows, merged=["A2:A4"])
    # What a plain reading gives: the value in the first row only.
    assert pd.read_excel(path)["host"].isna().tolist() == [False, True, True]
    layers = folder.read()
    assert layers.vectors["infestations"]["host"].tolist() == ["ashthorn"] * 3
    assert told(layers, "cells-merged") == (
        "caution: layers.infestations\n"
        "  'weeds.xlsx' has merged cells (A2:A4); each of their rows got the one value.\n"
        "  Fix: Unmerge them and write the value into every row."
    )


def test_cells_merged_across_stay_in_their_first_column(folder, told):
    write(folder, [HEADER, row(0), row(1)], merged=["F3:G3"])
    layers = folder.read()
    assert layers.vectors["infestations"]["id"].tolist() == ["007", ""]
    assert told(layers, "cells-merged-across") == (
        "caution: layers.infestations\n"
        "  'weeds.xlsx' has cells merged across columns (F3:G3); the value counts for the first column only.\n"
        "  Fix: Unmerge them and fill in every column."
    )


def test_merged_cells_are_those_openpyxl_tells(folder):
    blocks = ["A2:A4", "B2:C2", "AA3:AB9"]
    path = write(folder, [HEADER, row(), row(), row()], merged=blocks, sheet="Käfer & Co")
    told_ones = openpyxl.load_workbook(path)["Käfer & Co"].merged_cells.ranges
    expected = {(r.min_row - 1, r.max_row - 1, r.min_col - 1, r.max_col - 1) for r in told_ones}
    read = read_merged_cells(path, "Käfer & Co")
    assert {(m.first_row, m.last_row, m.first_column, m.last_column) for m in read} == expected
    assert read_merged_cells(path, "No such sheet") == []


def test_blank_rows_between_are_not_features(folder):
    write(folder, [HEADER, row(0, own_id="a"), [], row(1, own_id="b")])
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [2, 4]
    assert [finding.code for finding in layers.findings] == ["crs-assumed"]


def test_column_without_a_name_is_said(folder, told):
    write(folder, [[*HEADER, None], [*row(), "a remark"]])
    assert told(folder.read(), "column-nameless") == (
        "caution: layers.infestations\n"
        "  1 column without a name were not read: H.\n"
        "  Fix: Give each column a name of its own."
    )


def test_the_sheet_that_is_named(folder, told):
    path = write(folder, [["notes"]], sheet="Notes")
    book = openpyxl.load_workbook(path)
    page = book.create_sheet("2025")
    for cells in (HEADER, row()):
        page.append(cells)
    book.save(path)
    folder.layers["infestations"]["layer"] = "2025"
    assert len(folder.read().vectors["infestations"]) == 1
    folder.layers["infestations"]["layer"] = "2024"
    assert told(folder.read(), "layer-not-found") == (
        "stop: layers.infestations\n"
        "  'weeds.xlsx' has no sheet '2024'; its sheets are Notes, 2025.\n"
        "  Fix: Did you mean '2025'? Then write: layer = \"2025\""
    )


def test_an_empty_sheet_and_a_name_used_twice(folder, told):
    write(folder, [])
    assert told(folder.read(), "file-unreadable") == (
        "stop: layers.infestations\n"
        "  sheet 'Weeds' of 'weeds.xlsx' is empty.\n"
        "  Fix: Give the file that has the table in it."
    )
    write(folder, [[*HEADER, "host"], [*row(), "x"]])
    assert told(folder.read(), "column-repeated") == (
        "stop: layers.infestations\n"
        "  'weeds.xlsx' has more than one column called host.\n"
        "  Fix: Give each column a name of its own."
    )


def test_open_document_sheets(folder):
    table = pd.DataFrame([[str(cell) for cell in row(n)] for n in range(2)], columns=HEADER)
    pyogrio.write_dataframe(table, folder.folder / "weeds.ods", driver="ODS", layer="Weeds")
    folder.add("infestations", "weeds.ods", **KEYS)
    frame = folder.read().vectors["infestations"]
    assert frame["cover_share"].tolist() == [0.4, 0.4]
    assert np.allclose(frame.area, 15_000.0)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty: it has 0 bytes."),
        (b"PK\x03\x04 and then nothing", "is damaged, or only a part of it is there."),
        (b"id,host,cover\n", "is not an Excel workbook, is damaged, or only a part of it is there."),
    ],
)
def test_a_file_that_is_no_spreadsheet(folder, told, content, words):
    (folder.folder / "weeds.xlsx").write_bytes(content)
    folder.add("infestations", "weeds.xlsx", **KEYS)
    text = told(folder.read(), "file-unreadable")
    assert text.startswith(
        f"stop: layers.infestations\n  'weeds.xlsx' {words}\n  Fix: Copy or download it again"
    )
