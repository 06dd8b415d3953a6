import math

import numpy as np
import pytest

from geo_scout.layers.cells.efforts import hours_with_units

HEAD = ["visit_id", "agent", "date", "result", "effort_hours", "longitude_deg", "latitude_deg"]


# An hour has 60 minutes: 90 / 60 = 1.5, 45 / 60 = 0.75.
@pytest.mark.parametrize(
    ("text", "hours"),
    [("1.5 person hours", 1.5), ("90 min", 1.5), ("2 h", 2.0), ("2h", 2.0), ("1 hour", 1.0), ("3 Hours", 3.0),
     ("2 hr", 2.0), ("2 hrs", 2.0), ("0.5 person-hour", 0.5), ("45 minutes", 0.75), ("1 minute", 1 / 60),
     (".5 h", 0.5), ("30 person minutes", 0.5)],
)  # fmt: skip
def test_each_unit(text, hours):
    read = hours_with_units(np.array([text, ""], dtype=object))
    assert read is not None
    assert read[0] == pytest.approx(hours)
    assert math.isnan(read[1])


@pytest.mark.parametrize("text", ["2", "2 days", "2 traps", "-1 h", "1-2 h", "h", "1 h 30 min", "20 sweeps"])
def test_another_thing_than_a_time_is_none(text):
    assert hours_with_units(np.array(["2 h", text], dtype=object)) is None


def visits(folder, *efforts):
    rows = [[f"V{n}", "stem weevil", f"2022-07-{n + 1:02}", "found", text, "-110", "47"]
            for n, text in enumerate(efforts)]  # fmt: skip
    folder.write_table("visits", [HEAD, *rows])
    return folder.read()


def test_efforts_with_units_become_hours(folder, told):
    layers = visits(folder, "", "90 min", "1.5 person hours")
    assert layers.vectors["visits"]["effort_hours"].tolist()[1:] == [1.5, 1.5]
    assert told(layers, "effort-unit-read") == (
        "note: layers.visits\n"
        "  effort_hours has its unit in each cell; read as hours in 2 rows: '90 min' is 1.5.\n"
        "  Fix: Nothing, if that is the time that all of them looked, taken together."
    )


def test_an_effort_that_is_no_time_is_told(folder, told):
    layers = visits(folder, "2 h", "1", "1", "1", "1", "1")
    assert told(layers, "value-unreadable") == (
        "caution: layers.visits feature V0\n"
        "  effort_hours '2 h' is not a number; it is taken as missing.\n"
        '  Fix: Write hours as numbers, or give every cell its unit: "1.5 person hours", "2 h" or "90 min"; a '
        "list of other things is no effort."
    )
