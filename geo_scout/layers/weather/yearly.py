"""Climate of single years at places that hold a population: how much one place varies."""

from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.months import check_monthly_pairs, drop_unfinished_years, mind_dryness
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.quantities import CLIMATE_VARIABLES
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
    if not rows.is_stopped and "month" not in rows.given:
        return _ready_years(rows), rows
    for check in (_check_months, check_monthly_pairs, _mind_dryness):
        if not rows.is_stopped:
            check(rows)
    if rows.is_stopped:
        return None, rows
    months = rows.frame[_COLUMNS].astype({"year": int, "month": int})
    return YearlyClimate(months.sort_values(["place", "year", "month"]).reset_index(drop=True)), rows


def _ready_years(rows: TableRows) -> YearlyClimate | None:
    """Return years whose climate variables are given as they are; a year that is there twice stops."""
    repeated = rows.frame.duplicated(_OF)
    if repeated.any():
        again = rows.frame[repeated].iloc[0]
        what = f"{again['place']} {again['year']:g} is there twice; each year is needed once."
        rows.say("year-repeated", "stop", what, "Keep one row for each place and year.")
        return None
    variables = [name for name in rows.frame if name in CLIMATE_VARIABLES]
    years = rows.frame[[*_OF, *variables]].astype({"year": int}).sort_values(_OF)
    return YearlyClimate(pd.DataFrame(columns=_COLUMNS), years.reset_index(drop=True))


def _check_months(rows: TableRows) -> None:
    drop_unfinished_years(rows, _OF)


def _mind_dryness(rows: TableRows) -> None:
    mind_dryness(rows, _OF)
