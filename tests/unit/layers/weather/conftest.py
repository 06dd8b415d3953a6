"""Small tables of weather in the test's own folder."""

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.weather import daily_weather, station_normals, yearly_climate
from geo_scout.model.layer_table import LayerTable

AS_OF = dt.date(2026, 11, 1)
DAILY = ("date", "tmin", "tmax")
MONTHLY = ("month", "tmin", "tmax")


@pytest.fixture
def written(tmp_path: Path) -> Callable[..., LayerTable]:
    """Return a function that writes a table and returns its settings."""

    def write(header: Sequence[str], rows: Sequence[Sequence[object]], **keys: Any) -> LayerTable:
        lines = [",".join(map(str, row)) for row in (header, *rows)]
        (tmp_path / "table.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        return LayerTable(path="table.csv", **keys)

    return write


@pytest.fixture
def daily(written, tmp_path):
    """Return a function that reads daily rows: date, tmin, tmax."""

    def read(rows, header=DAILY, as_of=AS_OF, on_map=False, max_bad_share=0.5, **keys):
        table = written(header, rows, **keys)
        return daily_weather(table, tmp_path / "table.csv", as_of, max_bad_share, on_map=on_map)

    return read


@pytest.fixture
def monthly(written, tmp_path):
    """Return a function that reads monthly rows: month, tmin, tmax."""

    def read(rows, header=MONTHLY, on_map=False, **keys):
        return station_normals(written(header, rows, **keys), tmp_path / "table.csv", on_map=on_map)

    return read


@pytest.fixture
def yearly(written, tmp_path):
    """Return a function that reads rows of place, year, month, tmin, tmax, precipitation."""

    def read(rows, header=("place", "year", "month", "tmin", "tmax", "precipitation"), **keys):
        return yearly_climate(written(header, rows, **keys), tmp_path / "table.csv")

    return read


@pytest.fixture
def said() -> Callable[[Noticed, str], str]:
    """Return grade, sentence and fix of the only finding of one code."""

    def of_code(noticed: Noticed, code: str) -> str:
        [finding] = [one for one in noticed.findings if one.code == code]
        return f"{finding.grade}: {finding.what} | {finding.fix}"

    return of_code


@pytest.fixture
def codes() -> Callable[[Noticed], list[str]]:
    return lambda noticed: [one.code for one in noticed.findings]
