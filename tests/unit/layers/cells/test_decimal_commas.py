import numpy as np
import pytest

from geo_scout.layers.cells.decimal_commas import as_numbers_with_comma

HEADER = ["host", "cover", "area", "longitude_deg", "latitude_deg", "survey_date"]
KEYS = {"units": {"cover": "percent", "area": "ha"}}


def read(*texts, stated=None):
    values = np.empty(len(texts), dtype=object)
    values[:] = texts
    numbers, unreadable, comma = as_numbers_with_comma(values, stated)
    return numbers.tolist(), unreadable.tolist(), comma


@pytest.mark.parametrize("text", ["12,5", "0,125", "1234,567", ",5", "-0,5", "12,50"])
def test_what_can_only_be_a_decimal_comma(text):
    assert read(text) == ([float(text.replace(",", "."))], [False], "found")


@pytest.mark.parametrize("text", ["1,234", "12,345", "-123,456"])
def test_a_comma_before_three_digits_is_not_guessed(text):
    assert read(text) == ([pytest.approx(np.nan, nan_ok=True)], [True], "unclear")
    assert read(text, stated=True) == ([float(text.replace(",", "."))], [False], "")
    assert read(text, stated=False) == ([pytest.approx(np.nan, nan_ok=True)], [True], "")


def test_with_a_stated_comma_a_dot_between_thousands_is_not_read():
    assert read("1.234", "12.5", "3,5", stated=True) == (
        [pytest.approx(np.nan, nan_ok=True), 12.5, 3.5],
        [True, False, False],
        "",
    )


@pytest.mark.parametrize("text", ["1,234,567", "1.23,5", "12,5 ha", "a,b"])
def test_what_stays_unreadable(text):
    assert read(text)[1] == [True]


def test_columns_with_commas_are_read_and_said(folder, found):
    path = folder.folder / "weeds.csv"
    rows = [HEADER, ["ashthorn", "12,5", "1,5", "-110,25", "47,125", "2025-01-01"]]
    path.write_text("\n".join(";".join(row) for row in rows), encoding="utf-8")
    folder.add("infestations", "weeds.csv", **KEYS)
    layers = folder.read()
    frame = layers.vectors["infestations"]
    assert frame["cover_share"].tolist() == [0.125]
    assert frame.area.tolist() == pytest.approx([15_000.0])
    at = frame.geometry.centroid.to_crs(4326).iloc[0]
    assert (at.x, at.y) == pytest.approx((-110.25, 47.125), abs=1e-8)
    assert [finding.text() for finding in found(layers, "comma-read")] == [
        "note: layers.infestations\n"
        f"  numbers in {column} are written with a decimal comma and were read so.\n"
        "  Fix: To be sure of it, add: decimal_comma = true"
        for column in ("area", "cover")
    ]


def test_unclear_commas_are_said_and_not_read(folder, told):
    folder.write_table("releases", [
        ["release_id", "agent", "date", "number", "longitude_deg", "latitude_deg"],
        ["R1", "stem weevil", "2024-05-01", "1,200", "-110", "47"],
        ["R2", "stem weevil", "2024-05-01", "200", "-110", "47"],
    ])  # fmt: skip
    layers = folder.read()
    assert layers.vectors["releases"]["number"].tolist() == pytest.approx([np.nan, 200.0], nan_ok=True)
    assert told(layers, "comma-unclear") == (
        "caution: layers.releases\n"
        "  numbers in number have a comma before three digits, which may be a decimal comma or one between "
        "thousands; they were not read.\n"
        "  Fix: Add decimal_comma = true if it is a decimal comma; otherwise write the numbers without it."
    )


def test_dots_between_thousands_and_a_decimal_comma_have_one_meaning():
    texts = np.array(["1.000,5", "12.345.678,25", "1.00,5"], dtype=object)
    for stated in (None, True):
        numbers, unreadable, _ = as_numbers_with_comma(texts, stated)
        assert numbers[:2].tolist() == [1000.5, 12345678.25]
        assert unreadable.tolist() == [False, False, True]
