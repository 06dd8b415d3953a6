"""Climate of single years at places that hold a population: how much one place varies."""

from pathlib import Path

import numpy as np

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.months import check_monthly_pairs, drop_unfinished_years, mind_dryness
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.season import LayerTable
from geo_scout.model.weather import YearlyClimate

_COLUMNS = ["place", "year", "month", "tmin_degc", "tmax_degc", "precipitation_mm"]
_OF = ["place", "year"]
_BAD_SHARE = 0.01


def yearly_climate(table: LayerTable, path: Path) -> tuple[YearlyClimate | None, Noticed]:
    """Return the years of a table, None where they cannot be used, and what was noticed.

    Parameters
    ----------
    table
        The layer's settings.
    path
        The file.
    """
    rows = read_table("yearly_climate", table, path)
    if rows.is_stopped:
        return None, rows
    blank_place = (rows.frame["place"] == "").to_numpy()
    fix = "Write the place in every row."
    rows.refuse_rows(blank_place, "blank-value", "place is blank", fix, _BAD_SHARE)
    year = rows.frame["year"].to_numpy(dtype=np.float64)
    no_year, fix = ~(np.isfinite(year) & (year == np.round(year))), "Write the year in every row, like 2014."
    rows.refuse_rows(no_year, "blank-value", "year is blank or no whole number", fix, _BAD_SHARE)
    for check in (_check_months, check_monthly_pairs, _mind_dryness):
        if not rows.is_stopped:
            check(rows)
    if rows.is_stopped:
        return None, rows
    months = rows.frame[_COLUMNS].astype({"year": int, "month": int})
    return YearlyClimate(months.sort_values(["place", "year", "month"]).reset_index(drop=True)), rows


def _check_months(rows: TableRows) -> None:
    drop_unfinished_years(rows, _OF)


def _mind_dryness(rows: TableRows) -> None:
    mind_dryness(rows, _OF)
