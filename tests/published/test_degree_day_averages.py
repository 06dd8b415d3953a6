"""The simple average read two ways: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300, table 1."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.model.heat_model import HeatModel, MonthDay

# base 0 degC: maximum, minimum, method 1, method 2
TABLE_1 = np.array([
    [20, 10, 15, 15], [10, 1, 5.5, 5.5], [8, -2, 3, 4], [6, 0, 3, 3], [10, 5, 7.5, 7.5],
    [5, -5, 0, 2.5], [-2, -7, 0, 0], [-5, -10, 0, 0], [10, -2, 4, 5], [15, 2, 8.5, 8.5],
])  # fmt: skip


@pytest.mark.parametrize(("method", "column"), [("simple_average", 2), ("clipped_average", 3)])
def test_table_1(method, column):
    model = HeatModel(0.0, "degc", method, MonthDay(1, 1))
    # exact decimals in the table
    assert daily_degree_days(TABLE_1[:, 1], TABLE_1[:, 0], model) == pytest.approx(TABLE_1[:, column])


def test_an_upper_threshold_parts_the_two_further():
    """Section 1 of the paper: method 1 holds the mean at the threshold, method 2 each extreme.

    Base 10, upper 30, day 8 to 36 degC: method 1, mean 22, 12 degree-days; method 2, (30 + 10) / 2 - 10 = 10.
    """
    found = {
        method: float(
            daily_degree_days(
                [8.0], [36.0], HeatModel(10.0, "degc", method, MonthDay(1, 1), "horizontal", 30.0)
            )[0]
        )
        for method in ("simple_average", "clipped_average")
    }
    assert found == {"simple_average": pytest.approx(12.0), "clipped_average": pytest.approx(10.0)}
