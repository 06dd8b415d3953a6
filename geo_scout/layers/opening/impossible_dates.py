"""Vector files with dates that the calendar does not have: their dates are read as text."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pyogrio
import pyogrio.raw
from numpy.typing import NDArray
from pyogrio.errors import DataSourceError

_DATES = frozenset({"OFTDate", "OFTDateTime"})
_ONLY_FOR_READING = ("force_2d", "datetime_as_string")


def read_with_dates_as_text(
    place: Path | str, layer: str | None, columns: Sequence[str] | None, options: Mapping[str, Any]
) -> tuple[dict[str, Any], Any, list[NDArray[Any]]]:
    """Return what ``pyogrio.raw.read`` does, without the numbers of the features.

    Parameters
    ----------
    place, layer
        The file, or where it is inside a zip file, and its layer; the first without one.
    columns
        Columns to read; all without.
    options
        Further options of ``pyogrio.raw.read``.

    Returns
    -------
    meta, shapes, columns
        ``meta`` names the types of the file itself; shapes are WKB, dates text with ``/``.

    Raises
    ------
    pyogrio.errors.DataSourceError
        None of the columns holds dates, so something else cannot be read.
    """
    opening = {name: value for name, value in options.items() if name not in _ONLY_FOR_READING}
    info = pyogrio.read_info(place, layer=layer, **opening)
    kinds = dict(zip((str(name) for name in info["fields"]), info["ogr_types"], strict=True))
    wanted = [name for name in kinds if columns is None or name in columns]
    if not any(kinds[name] in _DATES for name in wanted):
        message = "its values cannot be read"
        raise DataSourceError(message)
    chosen = ", ".join(_as_text(name) if kinds[name] in _DATES else _quoted(name) for name in wanted)
    sql = f"SELECT {chosen} FROM {_quoted(str(info['layer_name']))}"
    meta, _, shapes, values = pyogrio.raw.read(place, sql=sql, sql_dialect="OGRSQL", **options)
    return {**meta, "ogr_types": [kinds[str(name)] for name in meta["fields"]]}, shapes, values


def _as_text(name: str) -> str:
    return f"CAST({_quoted(name)} AS character(40)) AS {_quoted(name)}"


def _quoted(name: str) -> str:
    escaped = name.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
