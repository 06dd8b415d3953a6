"""Twelve degree-day methods on 366 real days, against the outputs of a university's degree-day calculator.

The table and where it comes from: data/degree_day_reference.csv and .txt beside this file. Values are printed to
the cent, half a cent off at most; on one day two halves rounded apart make 0.009, so a day may differ by 0.01.
Yearly totals are those the calculator printed, which it added up unrounded: to the cent.
"""

import csv
import hashlib
from pathlib import Path

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.model.heat_model import HeatModel, MonthDay

TABLE = Path(__file__).parent / "data" / "degree_day_reference.csv"
BASE_DEGF, UPPER_DEGF = 50.0, 70.0
METHODS = {
    "sngsine": "single_sine", "dblsine": "double_sine", "sngtri": "single_triangle", "dbltri": "double_triangle",
}  # fmt: skip
CUTOFFS = {"horiz": "horizontal", "vert": "vertical", "intrmd": "intermediate"}
TOTALS = {
    "sngsine_horiz": 4011.14, "sngsine_vert": 1645.37, "sngsine_intrmd": 2537.80,
    "dblsine_horiz": 4012.10, "dblsine_vert": 1647.26, "dblsine_intrmd": 2540.89,
    "sngtri_horiz": 4093.85, "sngtri_vert": 1679.33, "sngtri_intrmd": 2808.58,
    "dbltri_horiz": 4095.31, "dbltri_vert": 1680.65, "dbltri_intrmd": 2811.52,
}  # fmt: skip


@pytest.fixture(scope="module")
def table():
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {name: np.array([float(row[name]) for row in rows]) for name in ["tmin", "tmax", *TOTALS]}


def in_degf_days(column, tmin_degf, tmax_degf):
    method, cutoff = column.split("_")
    model = HeatModel(BASE_DEGF, "degf", METHODS[method], MonthDay(1, 1), CUTOFFS[cutoff], UPPER_DEGF)
    tmin, tmax = ((np.asarray(degf) - 32.0) / 1.8 for degf in (tmin_degf, tmax_degf))
    return model.own_degree_days(daily_degree_days(tmin, tmax, model))


def test_the_table_is_as_it_came():
    """A formatter or an editor must not rewrite the numbers; line ends may differ between systems."""
    content = TABLE.read_bytes().replace(b"\r\n", b"\n")
    assert hashlib.sha256(content).hexdigest().startswith("3c26e97dd7ab1239")


def test_the_table_holds_all_six_cases(table):
    """The counts published with the table: below, across the lower, between, across the upper, above, across both."""
    tmin, tmax = table["tmin"], table["tmax"]
    is_warm, is_hot = tmin >= BASE_DEGF, tmin >= UPPER_DEGF
    gets_warm, gets_hot = tmax >= BASE_DEGF, tmax > UPPER_DEGF
    cases = [
        ~gets_warm,
        ~is_warm & gets_warm & ~gets_hot,
        is_warm & ~gets_hot,
        is_warm & ~is_hot & gets_hot,
        is_hot,
        ~is_warm & gets_hot,
    ]
    assert [int(case.sum()) for case in cases] == [3, 131, 6, 179, 4, 43]


@pytest.mark.parametrize("column", TOTALS)
def test_every_day(table, column):
    found = in_degf_days(column, table["tmin"], table["tmax"])
    worst = np.abs(found - table[column]).argmax()
    assert np.abs(found - table[column]).max() < 0.01, (
        f"{column} on day {worst + 1}: {found[worst]} for {table[column][worst]}"
    )


@pytest.mark.parametrize(("column", "total"), TOTALS.items())
def test_the_years_total_to_the_cent(table, column, total):
    assert round(float(in_degf_days(column, table["tmin"], table["tmax"]).sum()), 2) == total


@pytest.mark.parametrize(
    ("column", "low", "high", "value"),
    [
        # 10 February 2020
        ("sngsine_horiz", 52, 73, 12.01),
        ("sngsine_vert", 52, 73, 7.08),
        ("sngsine_intrmd", 52, 73, 11.52),
        ("sngtri_horiz", 52, 73, 12.29),
        ("sngtri_vert", 52, 73, 9.43),
        ("sngtri_intrmd", 52, 73, 12.07),
        # 11 July 2020: the intermediate cutoff rests on its floor, the vertical value
        ("sngsine_horiz", 59, 103, 17.60),
        ("sngsine_vert", 59, 103, 4.27),
        ("sngsine_intrmd", 59, 103, 4.27),
        # wholly above the upper threshold: the day gives U - L and not its own range
        ("sngsine_horiz", 71, 103, 20.00),
    ],
)
def test_single_days(column, low, high, value):
    # printed to the cent
    assert float(in_degf_days(column, [low], [high])[0]) == pytest.approx(value, abs=0.005)
