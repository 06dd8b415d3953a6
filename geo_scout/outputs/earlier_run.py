"""What an earlier run of a season left in its outputs: its window dates, and the weather behind them."""

import datetime as dt
import json
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.week_page import EarlierRun, WeatherFile
from geo_scout.model.window import MOMENTS
from geo_scout.outputs.swap import MANIFEST, MARKER

_TABLES: dict[Role, str] = {"source": "sources.csv", "release": "release_sites.csv"}
_NEEDED = ["agent", "site_id", *(f"window_{moment}" for moment in MOMENTS)]


def read_earlier_run(folder: Path) -> EarlierRun | None:
    """Return the dates that the last run wrote, None where there is none of ours to be read.

    Parameters
    ----------
    folder
        The season's outputs folder; it is only read.
    """
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        if not isinstance(manifest, dict) or manifest.get("written_by") != MARKER:
            return None
        as_of, weather = dt.date.fromisoformat(str(manifest["as_of"])), _weather(manifest)
        parts = [_dates(folder / name, role) for role, name in _TABLES.items()]
    except (OSError, ValueError, KeyError, TypeError):
        # Not there, cut short, or changed by hand: nothing that dates could be compared with.
        return None
    return EarlierRun(as_of, weather, pd.concat(parts, ignore_index=True))


def _weather(manifest: dict[str, Any]) -> WeatherFile | None:
    written = manifest.get("weather")
    if written is None:
        return None
    last_day = dt.date.fromisoformat(written["last_day"])
    return WeatherFile(str(written["name"]), str(written["sha256"]), last_day)


def _dates(path: Path, role: Role) -> pd.DataFrame:
    table = pd.read_csv(path, encoding="utf-8-sig", dtype=str, keep_default_na=False, usecols=_NEEDED)
    days = {
        moment: np.array([day or "NaT" for day in table[f"window_{moment}"]], dtype="datetime64[D]")
        for moment in MOMENTS
    }
    return table[["agent", "site_id"]].assign(
        role=role, **{moment: day.astype("datetime64[s]") for moment, day in days.items()}
    )
