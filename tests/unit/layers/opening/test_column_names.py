import pytest

KEYS = {"units": {"cover": "percent", "area": "ha"}}


@pytest.mark.parametrize(
    "row",
    [
        ["A1", "ashthorn", "40", "1.5", "2025-06-10", "-109.62", "47.12"],
        ["A1", "ashthorn", "1,5", "10.06.2025", "1e-3"],
        ["40", "1.5"],
    ],
)
def test_a_table_that_begins_with_values_is_refused(folder, told, row):
    folder.write_table("infestations", [row, row], **KEYS)
    shown = ", ".join(row[:5]) + (f" and {len(row) - 5} more" if len(row) > 5 else "")
    assert told(folder.read(), "header-missing") == (
        "stop: layers.infestations\n"
        f"  'infestations.csv' begins with values ({shown}) instead of the names of its columns.\n"
        "  Fix: Put a row above them that names each column."
    )


def test_some_numbers_among_the_names_do_no_harm(folder, found):
    names = ["host", "cover", "area", "longitude_deg", "latitude_deg", "2024", "2025"]
    folder.write_table("infestations", [names, ["ashthorn", "40", "1", "-110", "47", "3", "4"]], **KEYS)
    layers = folder.read()
    assert found(layers, "header-missing") == []
    assert len(layers.vectors["infestations"]) == 1


def test_rows_of_a_text_table_are_numbered_as_spreadsheets_number_them(folder):
    """The names stand in row 1; the blank line is a row, too."""
    header = "host,cover,area,survey_date,longitude_deg,latitude_deg,name"
    rows = ['ashthorn,1,1,2025-06-10,-110,47,"two\nlines"', "", "ashthorn,1,1,2025-06-10,-110.1,47,b"]
    (folder.folder / "weeds.csv").write_text("\n".join([header, *rows]), encoding="utf-8")
    folder.add("infestations", "weeds.csv", **KEYS)
    assert folder.read().vectors["infestations"]["row"].tolist() == [2, 4]
