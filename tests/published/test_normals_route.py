"""Dates from monthly normals against the median year of daily weather.

Eleven daily stations of aquacrop 3.1.0 (aquacrop/data/NAME_climate.txt; 11 to 37 years). For each, monthly normals
and the spread of daily means are taken from the daily values, and the date of a heat sum from those two is compared
with the median of the dates in the single years. Early sums above a high base are the hardest: the mean day then
has hardly any heat, single warm days have.
"""

import datetime as dt
import sys

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.formulas.degree_days.heat_years import days_by_heat_year
from geo_scout.formulas.degree_days.normals import normal_days_reached
from geo_scout.formulas.temperatures import monthly_spread_degc
from geo_scout.model.heat_model import HeatModel, MonthDay
from tests.reading_seasons import packaged

STATIONS = {
    "champion": "c480a22588457202", "brussels": "95fa98591eb3894c", "tunis": "5da8ee184e107ba1",
    "cordoba": "ed9637282601affd", "cambridge": "02f560a0bada9200", "norfolk": "8814779d57ea7ac8",
    "suffolk": "8fd3fba43c72c61c", "lincolnshire": "cc4b9b460aab95a0", "north_yorks": "44b8bf10a5f97eea",
    "northumberland": "c771eb20ac08dcd1", "hyderabad": "a1b25ef9b4982ffd",
}  # fmt: skip
SOUTHERN = {"cordoba"}
CASES = [(7.5, 326.0), (10.0, 100.0)]
WITHIN_DAYS = 6.0


class Station:
    def __init__(self, name, head):
        path = packaged("aquacrop", f"aquacrop/data/{name}_climate.txt", head)
        self.table = np.genfromtxt(path, skip_header=1, encoding="utf-8")
        self.start = MonthDay(7, 1) if name in SOUTHERN else MonthDay(1, 1)
        self.tmin, self.tmax = self.table[:, 3:4], self.table[:, 4:5]
        day, month, year = self.table[0, :3].astype(int)
        self.first_day = dt.date(year, month, day)

    def normals(self, column):
        return np.array([[self.table[self.table[:, 1] == month, column].mean()] for month in range(1, 13)])

    def days_late(self, base, wanted):
        """Return how late the corrected and the uncorrected date are against the median year."""
        model = HeatModel(base, "degc", "single_sine", self.start)
        daily = daily_degree_days(self.tmin, self.tmax, model)
        years = days_by_heat_year(daily, self.first_day, self.start, [wanted])
        assert years.known[0, :-1].all()
        median = np.median(years.day[0][years.known[0] & ~np.isnan(years.day[0])])
        spread = monthly_spread_degc(self.tmin, self.tmax, self.first_day)
        normals = self.normals(3), self.normals(4)
        with_spread = normal_days_reached(*normals, model, [wanted], spread, what_if_degc=[0.0])
        without = normal_days_reached(*normals, model, [wanted], what_if_degc=[0.0])
        assert with_spread.is_corrected.all()
        assert not without.is_corrected.any()
        return float(with_spread.day.item() - median), float(without.day.item() - median)


@pytest.fixture(scope="module")
def late():
    stations = {name: Station(name, head) for name, head in STATIONS.items()}
    found = {
        (name, base, wanted): station.days_late(base, wanted)
        for name, station in stations.items()
        for base, wanted in CASES
    }
    sys.stdout.write(f"\n{report(found)}\n")
    return found


def report(late):
    lines = ["station, base, sum: days late corrected, uncorrected"]
    return "\n".join(
        lines + [f"{key}: {with_spread:+.1f}, {without:+.1f}" for key, (with_spread, without) in late.items()]
    )


def test_dates_from_normals_and_spread_are_within_six_days(late):
    far = [key for key, (with_spread, _) in late.items() if abs(with_spread) > WITHIN_DAYS]
    assert far == [], report(late)


def test_dates_from_normals_alone_come_late(late):
    """What the correction is for: three weeks at the worst place, a week in the typical one."""
    without = np.array([days for _, days in late.values()])
    assert without.max() > 20, report(late)
    assert np.median(without) > 6, report(late)
    assert np.median(np.abs([days for days, _ in late.values()])) < 2, report(late)
