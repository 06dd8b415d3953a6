"""Twelve months of a station, or of one year of a place: each there once, and possible."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.listed import listed
from geo_scout.model.weather import MONTHS

# Months whose year is drier are taken for inches or for a mistake: 60 mm falls in a year in the driest
# deserts that anyone farms (our choice).
_DRY_YEAR_MM = 60.0
_ONCE = "each month is needed once"


def check_months(rows: TableRows, of: list[str]) -> None:
    """Stop where a station, or a year of a place, does not have each of the twelve months once."""
    if _has_strange_month(rows):
        return
    for label, months in _each(rows, of):
        repeated, absent = _repeated(months), _absent(months)
        if not repeated and not absent:
            continue
        said = [f"month {listed(repeated, 3)} twice"] if repeated else []
        said += [f"no month {listed(absent, 3)}"] if absent else []
        what = f"{label} has {len(months)} rows with {' and '.join(said)}; {_ONCE}."
        rows.say("months", "stop", what, "Give twelve rows each, numbered 1 to 12.")
        return


def drop_unfinished_years(rows: TableRows, of: list[str]) -> None:
    """Set years aside that lack a month, such as the one under way; a month that is there twice stops."""
    if _has_strange_month(rows):
        return
    unfinished = []
    for label, months in _each(rows, of):
        repeated = _repeated(months)
        if repeated:
            what = f"{label} has month {listed(repeated, 3)} twice; {_ONCE}."
            rows.say("months", "stop", what, "Keep one row for each month.")
            return
        if _absent(months):
            unfinished.append(label)
    size = rows.frame.groupby(of, sort=False)["month"].transform("size")
    if unfinished:
        what = f"set aside, for want of a month: {listed(unfinished, 3)}."
        rows.say("months", "caution", what, "Give all twelve months of a year.")
        rows.frame = rows.frame[size == len(MONTHS)].reset_index(drop=True)
    if rows.frame.empty:
        rows.say("months", "stop", "no year has twelve months.", "Give all twelve months of each year.")


def check_monthly_pairs(rows: TableRows) -> None:
    """Stop where a monthly minimum lies above its maximum: normals with one such month are untrue."""
    above = (rows.frame["tmin_degc"] > rows.frame["tmax_degc"]).to_numpy()
    if above.any():
        first = rows.frame[above].iloc[0]
        what = (
            f"tmin is above tmax in {int(above.sum())} of {len(above):,} rows, first in row {first['row']} "
            f"({first['tmin_degc']:g} and {first['tmax_degc']:g} degC)."
        )
        rows.say("tmin-above-tmax", "stop", what, "Check whether the two columns are exchanged.")


def mind_dryness(rows: TableRows, of: list[str]) -> None:
    """Caution where most years would be drier than a desert: inches are often given as millimetres."""
    if "precipitation" not in rows.given or "precipitation" in rows.table.units:
        return
    year_mm = rows.frame.groupby(of, sort=False)["precipitation_mm"].sum(min_count=len(MONTHS)).dropna()
    if len(year_mm) and (year_mm < _DRY_YEAR_MM).mean() > 0.5:
        low, high = year_mm.min(), year_mm.max()
        what = f"a year's precipitation is {low:g} to {high:g} mm, drier than most deserts."
        fix = 'State its unit: units = {precipitation = "inch"}, or "mm" if it is so dry.'
        rows.say("precipitation-dry", "caution", what, fix)


def _has_strange_month(rows: TableRows) -> bool:
    month = rows.frame["month"]
    bad = ~month.isin(list(MONTHS))
    if not bad.any():
        return False
    seen = ["blank" if np.isnan(value) else f"{value:g}" for value in month[bad].unique()]
    what = f"month is {listed(seen, 3)}; months are the numbers 1 to 12."
    fix = "Write 1 for January to 12 for December, one row for each month."
    rows.say("months", "stop", what, fix)
    return True


def _each(rows: TableRows, of: list[str]) -> Iterator[tuple[str, "pd.Series[float]"]]:
    for name, months in rows.frame.groupby(of, sort=False)["month"]:
        yield " ".join(f"{part:g}" if isinstance(part, float) else str(part) for part in name), months


def _repeated(months: "pd.Series[float]") -> list[str]:
    return [f"{month:g}" for month in sorted(months[months.duplicated()].unique())]


def _absent(months: "pd.Series[float]") -> list[str]:
    there = set(months)
    return [str(month) for month in MONTHS if month not in there]
