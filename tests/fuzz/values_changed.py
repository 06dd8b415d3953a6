"""Cells, columns and rows of a layer replaced by what people and programs leave in them."""

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd

from tests.fuzz.hostile import DAYS, LISTS, NUMBERS, TEXTS, WHOLE
from tests.fuzz.kits import Kit
from tests.fuzz.map_files import TABLES, MapFile, write_map

SHAPE = "geometry"


def change_values(chance: Random, kit: Kit, folder: Path) -> str:
    """Change a layer's values in one or two ways, write its file anew and return what was done."""
    file = chance.choice(kit.maps)
    rows, words = file.rows.copy(), []
    for _ in range(chance.choice((1, 1, 2))):
        way = chance.choices(_WAYS, weights=_WEIGHTS)[0]
        rows, word = way(chance, rows, file)
        words.append(word)
    write_map(folder, file, rows)
    return f"{file.path} ({file.layer}): {'; '.join(words)}"


def _columns(rows: pd.DataFrame) -> list[str]:
    return [str(name) for name in rows.columns if name != SHAPE]


def _some_rows(chance: Random, rows: pd.DataFrame) -> list[int]:
    """Return one row, some or all; mostly one, so that a layer is not stopped for it."""
    every = range(len(rows))
    if not every:
        return []
    number = chance.choice((1, 1, 1, 2, max(1, len(rows) // 2), len(rows)))
    return sorted(chance.sample(every, min(number, len(rows))))


def _replace_texts(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Put hostile words into cells; the column becomes one of text."""
    return _replaced(chance, rows, TEXTS, as_text=True)


def _replace_numbers(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    return _replaced(chance, rows, NUMBERS, as_text=file.suffix == ".csv")


def _replace_with_none(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    return _replaced(chance, rows, ("",) if file.suffix in TABLES else (None,), as_text=False)


def _replace_days(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Make a whole column one of dates, some of them far out."""
    column = chance.choice(_columns(rows))
    days = [chance.choice(DAYS) or dt.datetime(2024, 5, 6) for _ in range(len(rows))]  # noqa: DTZ001
    if file.suffix in TABLES:
        return rows.assign(**{column: days}), f"{column} holds dates"
    unit = chance.choice(("s", "ms"))
    return rows.assign(**{column: np.array(days, dtype=f"datetime64[{unit}]")}), f"{column} holds dates"


def _retype(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Make a whole column one of another type."""
    column = chance.choice(_columns(rows))
    number = len(rows)
    kinds: tuple[tuple[str, Any], ...] = (
        ("whole numbers", np.array([chance.choice(WHOLE) for _ in range(number)], dtype=np.int64)),
        ("small whole numbers", np.array([chance.randrange(256) for _ in range(number)], dtype=np.uint8)),
        ("numbers", np.array([chance.choice(NUMBERS) for _ in range(number)], dtype=np.float64)),
        ("single precision", np.array([chance.random() * 100 for _ in range(number)], dtype=np.float32)),
        ("yes and no", np.array([chance.random() < 0.5 for _ in range(number)], dtype=bool)),
        ("nothing", np.full(number, None, dtype=object)),
        ("nan", np.full(number, np.nan)),
        ("bytes", [chance.randbytes(5) for _ in range(number)]),
        ("lists", [chance.choice(LISTS) for _ in range(number)]),
    )
    words, values = chance.choice(kinds[:-2] if file.suffix in TABLES else kinds)
    return rows.assign(**{column: values}), f"{column} holds {words}"


def _swap_columns(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    one, other = chance.choice(_columns(rows)), chance.choice(_columns(rows))
    return rows.assign(
        **{one: rows[other].to_numpy(), other: rows[one].to_numpy()}
    ), f"{one} and {other} swapped"


def _drop_column(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    column = chance.choice(_columns(rows))
    return rows.drop(columns=column), f"{column} is gone"


def _rename_column(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Give a column another name, sometimes one that another column or we ourselves have."""
    column = chance.choice(_columns(rows))
    ours = ("row", "geometry2", "fid", "FID", "ogc_fid", "id", "index", "site_id", "found", "written_error_m")
    names = (*ours, *_columns(rows), column.upper(), column + " ", chance.choice(TEXTS), "")
    name = chance.choice(names)
    changed = rows.rename(columns={column: name})
    return changed, f"{column} is called {name[:40]!r}"


def _add_column(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    """Add a column that is taken for one of ours."""
    ours = (
        "cover", "cover_scheme", "area", "result", "host", "number", "count", "coordinate_uncertainty_m",
        "longitude_deg", "latitude_deg", "easting_m", "northing_m", "utm_zone", "grid_reference", "status",
        "row", "survey_date", "permission", "site_id", "cover_share",
    )  # fmt: skip
    name = chance.choice(ours)
    return rows.assign(
        **{name: [chance.choice(TEXTS) for _ in range(len(rows))]}
    ), f"a column {name} of words"


def _repeat_rows(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    times = chance.choice((2, 3, 30))
    chosen = _some_rows(chance, rows) * times
    return _like(rows, pd.concat([rows, rows.iloc[chosen]], ignore_index=True)), f"{len(chosen)} rows again"


def _drop_rows(chance: Random, rows: pd.DataFrame, file: MapFile) -> tuple[pd.DataFrame, str]:
    left = chance.choice((0, 1, max(0, len(rows) - 1)))
    return _like(
        rows, rows.sample(n=min(left, len(rows)), random_state=chance.randrange(999))
    ), f"{left} rows left"


def _replaced(
    chance: Random, rows: pd.DataFrame, choices: Sequence[Any], *, as_text: bool
) -> tuple[pd.DataFrame, str]:
    column = chance.choice(_columns(rows))
    values = rows[column].astype(object)
    cells = values.where(values.notna(), None).tolist()
    if as_text:
        cells = [None if cell is None else str(cell) for cell in cells]
    at = _some_rows(chance, rows)
    new = chance.choice(choices)
    for row in at:
        cells[row] = new if chance.random() < 0.8 else chance.choice(choices)
    is_number = not as_text and all(cell is None or isinstance(cell, int | float) for cell in cells)
    filled = np.array(cells, dtype=np.float64 if is_number else object)
    return rows.assign(**{column: filled}), f"{column} is {str(new)[:40]!r} in rows {at}"


def _like(rows: pd.DataFrame, changed: pd.DataFrame) -> pd.DataFrame:
    """Keep the reference system of a frame that has one."""
    return (
        gpd.GeoDataFrame(changed, geometry=SHAPE, crs=rows.crs)
        if isinstance(rows, gpd.GeoDataFrame)
        else changed
    )


_Way = Callable[[Random, pd.DataFrame, MapFile], tuple[pd.DataFrame, str]]
_WEIGHTED: tuple[tuple[_Way, int], ...] = (
    (_replace_texts, 10),
    (_replace_numbers, 6),
    (_replace_with_none, 2),
    (_replace_days, 2),
    (_retype, 4),
    (_swap_columns, 2),
    (_drop_column, 1),
    (_rename_column, 2),
    (_add_column, 3),
    (_repeat_rows, 2),
    (_drop_rows, 1),
)
_WAYS = tuple(way for way, _ in _WEIGHTED)
_WEIGHTS = tuple(weight for _, weight in _WEIGHTED)
