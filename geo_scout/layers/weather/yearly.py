"""Climate of single years at places that hold a population: how much one place varies."""

from pathlib import Path

import numpy as np

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather.normals import check_monthly_pairs, check_months
from geo_scout.layers.weather.table_rows import read_table
from geo_scout.model.season import LayerTable
from geo_scout.model.weather import YearlyClimate

_COLUMNS = ["place", "year", "month", "tmin_degc", "tmax_degc", "precipitation_mm"]


def yearly_climate(table: LayerTable, path: Path) -> tuple[YearlyClimate | None, Noticed]:
    """Return the years of a table, None where they cannot be used, and what was noticed."""
    rows = read_table("yearly_climate", table, path)
    if rows.is_stopped:
        return None, rows
    for name in ("place", "year"):
        blank = (rows.frame[name] == "") if name == "place" else ~np.isfinite(rows.frame[name])
        rows.refuse_rows(
            np.asarray(blank), "blank-value", f"{name} is blank", f"Write the {name} in every row.", 0.01
        )
    check_months(rows, ["place", "year"])
    if not rows.is_stopped:
        check_monthly_pairs(rows)
    if rows.is_stopped:
        return None, rows
    months = rows.frame[_COLUMNS].astype({"year": int, "month": int})
    return YearlyClimate(months.sort_values(["place", "year", "month"]).reset_index(drop=True)), rows
