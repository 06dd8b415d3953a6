"""How many decimals each column prints, decided by the unit in its name."""

import pandas as pd

from geo_scout.model.rows import plain_values
from geo_scout.model.scouting import WORTH_DECIMALS
from geo_scout.model.visible_text import printable

DECIMALS_BY_ENDING: tuple[tuple[str, int], ...] = (
    ("_ha", 4),
    ("_km", 3),
    ("_m", 1),
    ("_m2", 1),
    ("_deg", 6),
    ("_degc", 2),
    ("_mm", 1),
    ("_pct", 1),
    ("_share", 4),
    ("_hours", 2),
    ("_years", 1),
    ("_days", 0),
    ("_value", 6),
    ("_points", 6),
)
DECIMALS_BY_NAME: dict[str, int] = {
    "score": 6,
    "score_low": 6,
    "score_high": 6,
    "climate_gap": 4,
    "climate_gap_distance": 4,
    "best_source_climate_gap": 4,
    "novelty": 1,
    "slope_deg": 2,
    "aspect_deg": 1,
    "aspect_match": 4,
    "aspect_strength": 4,
    "heat_load": 4,
    "years_since_release": 1,
    "releases_if_enough": 2,
    "visit_worth": WORTH_DECIMALS,
    "worth_per_hour": 4,
    "supply_low": 0,
    "supply": 0,
    "supply_high": 0,
    "releases_low": 2,
    "releases": 2,
    "releases_high": 2,
    "catch_per_hour": 1,
    "hours_per_release": 1,
    "patch_total_low": 0,
    "patch_total": 0,
    "patch_total_high": 0,
    "brier": 4,
    "brier_of_share": 4,
}
WHOLE_NUMBERS = (
    "confirmed_year",
    "year_found",
    "state_year",
    "visit_order",
    "climate_gap_variables",
    "climate_gap_cells",
    "climate_gap_populations",
    "climate_gap_components",
    "heat_load_equation",
    "visits",
)


def decimals_of(column: str) -> int | None:
    """Return the decimals a column prints; None for text and whole numbers.

    >>> decimals_of("crew_distance_km"), decimals_of("score"), decimals_of("name")
    (3, 6, None)
    """
    if column in DECIMALS_BY_NAME:
        return DECIMALS_BY_NAME[column]
    return next((decimals for ending, decimals in DECIMALS_BY_ENDING if column.endswith(ending)), None)


def round_table(table: pd.DataFrame) -> pd.DataFrame:
    """Return the table as it prints: rounded numbers, ISO dates, whole numbers nullable, visible text.

    Notes
    -----
    Adding 0.0 turns a negative zero into zero, so no table prints -0. The table is put together once: column
    by column pandas would keep a hundred pieces and complain.
    """
    return pd.DataFrame({name: _rounded(str(name), table[name]) for name in table}, index=table.index)


def _rounded(name: str, column: pd.Series) -> pd.Series:
    if pd.api.types.is_datetime64_any_dtype(column):
        days: pd.Series = column.dt.strftime("%Y-%m-%d").fillna("").astype(object)
        return days
    if name in WHOLE_NUMBERS:
        return column.astype("Int64")
    if pd.api.types.is_string_dtype(column) and not pd.api.types.is_numeric_dtype(column):
        return _all_printable(column)
    if (decimals := decimals_of(name)) is not None and pd.api.types.is_numeric_dtype(column):
        return column.astype(float).round(decimals) + 0.0
    return column


def _all_printable(column: pd.Series) -> pd.Series:
    values = [
        printable(value) if isinstance(value, str) and not value.isprintable() else value
        for value in plain_values(column)
    ]
    return pd.Series(values, index=column.index, dtype=column.dtype)
