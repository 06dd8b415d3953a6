import numpy as np
import pytest

from geo_scout.layers.cells.dates import as_dates


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
