import numpy as np
import pytest

from geo_scout.layers.cells.dates import as_dates, is_no_day


def days(*values, date_format=None):
    array = np.empty(len(values), dtype=object)
    array[:] = values
    read, unreadable = as_dates(array, date_format)
    return read.astype("datetime64[D]").astype(str).tolist(), unreadable.tolist()


@pytest.mark.parametrize(
    "text", ["2024-02-29", "2024/02/29", "2024-02-29T23:30:00", "2024-02-29 01:00:00+13:00", " 2024-02-29 "]
)
def test_the_day_that_was_written(text):
    assert days(text) == (["2024-02-29"], [False])


@pytest.mark.parametrize(
    "text", ["2023-02-29", "29.02.2024", "2024-2-9", "20240229", "2024", "spring", "2024-02/29"]
)
def test_what_is_no_date(text):
    assert days(text) == (["NaT"], [True])


def test_missing_dates_are_not_unreadable():
    assert days("", None) == (["NaT", "NaT"], [False, False])


def test_stated_format_is_the_only_one():
    assert days("14.03.2026", "2026-03-14", date_format="%d.%m.%Y") == (["2026-03-14", "NaT"], [False, True])
    assert days(20260314, date_format="%Y%m%d") == (["2026-03-14"], [False])


def test_old_and_far_dates_hold():
    assert days("1650-01-01", "2450-12-31") == (["1650-01-01", "2450-12-31"], [False, False])


# 1 January 2023 is day 44,927 of a spreadsheet, so day 45,000 is 73 days later: 31 + 28 days bring 1 March,
# and 14 more 15 March. Spreadsheets also count 29 February 1900, so days below 61 have no one meaning.
@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("44927", "2023-01-01"),
        ("45000", "2023-03-15"),
        (45000, "2023-03-15"),
        (45000.0, "2023-03-15"),
        ("45000.75", "2023-03-15"),
        ("61", "1900-03-01"),
    ],
)
def test_day_numbers_of_spreadsheets_are_days(written, day):
    assert days(written, date_format="spreadsheet day") == ([day], [False])


@pytest.mark.parametrize("text", ["60", "2023-03-15", "spring", "9999999", "-45000", "45,000"])
def test_what_is_no_day_number(text):
    assert days(text, date_format="spreadsheet day") == (["NaT"], [True])


def test_day_numbers_are_read_only_where_the_season_says_so():
    assert days("45000") == (["NaT"], [True])


@pytest.mark.parametrize(
    "text",
    ["2024-06-20/2024-06-21", "2024-06-20/21", "2024-06-20/07-02", "2024-06-20T09:00/2024-06-20T11:30"],
)
def test_of_an_interval_the_first_day_is_taken(text):
    days, unreadable = as_dates(np.array([text], dtype=object), None)
    assert days.astype("datetime64[D]").astype(str).tolist() == ["2024-06-20"]
    assert not unreadable.any()


def test_an_interval_from_no_day_is_no_date():
    assert as_dates(np.array(["2024-02-31/2024-03-01"], dtype=object), None)[1].all()
    assert is_no_day("2024-02-31/2024-03-01", None)


def test_intervals_are_counted(folder, told):
    folder.write_table("visits", [["visit_id", "agent", "date", "result", "longitude_deg", "latitude_deg"],
                                  ["V1", "stem weevil", "2024-06-20/2024-06-21", "found", "-110", "47"],
                                  ["V2", "stem weevil", "2024-06-20", "found", "-110", "47.001"]])  # fmt: skip
    assert told(folder.read(), "date-interval") == (
        "note: layers.visits\n"
        "  date is an interval in 1 row (V1), such as 2024-06-20/2024-06-21; the first day was taken.\n"
        "  Fix: Write one day where the first is not the one that counts."
    )
