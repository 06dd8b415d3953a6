"""Table cells as JSON carries them."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from geo_scout.outputs.map.cells import cell, columns_of


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (pd.NA, None),
        (pd.NaT, None),
        (None, None),
        (float("nan"), None),
        (np.float64("inf"), None),
        (np.int64(4), 4),
        (np.bool_(True), True),
        (0.125, 0.125),
        (pd.Timestamp("2026-03-01"), "2026-03-01"),
        (dt.date(2026, 3, 1), "2026-03-01"),
        ("gate\u202ekcab", "gate\\u202Ekcab"),
    ],
)
def test_a_cell(value: object, expected: object) -> None:
    found = cell(value)
    assert found == expected
    assert type(found) is type(expected)


def test_columns_keep_the_order_asked_for_and_skip_what_is_not_there() -> None:
    frame = pd.DataFrame({"rank": pd.array([1, None], dtype="Int64"), "name": ["a", "b"]})
    assert columns_of(frame, ["name", "owner", "rank"]) == {"name": ["a", "b"], "rank": [1, None]}
