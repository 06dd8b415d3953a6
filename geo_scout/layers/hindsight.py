"""The layers as they were known on an earlier day: what is later is hidden, what has no date is named."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.layers import LayerSet
from geo_scout.model.listed import counted, listed
from geo_scout.model.weather import YearlyClimate

Rows = NDArray[np.bool_]

SURVEYS = {"infestations": "infestation", "surveyed_areas": "surveyed area"}
KEPT = {
    "elevation": "the ground does not change",
    "climate_elevation": "the ground does not change",
    "tmin": "normals of many years",
    "tmax": "normals of many years",
    "precipitation": "normals of many years",
    "bioclim": "normals of many years",
    "extremes": "extremes of many years",
    "station_normals": "normals of many years",
    "boundaries": "lines on paper, which no outcome moves",
}
"""Layers without dates that are taken as they are, and why; our choice."""
DROPPED = {
    "land_classes": "how land is classed today may not be how it was",
    "requests": "whether they are open is today's knowledge",
    "weather": "no criterion asks for it",
}
"""Layers that no score of an earlier day takes, and why; our choice."""
DATED = {"releases": "release", "visits": "visit"}


def known_on(layers: LayerSet, day: dt.date) -> LayerSet:
    """Return the layers as they were known before anything was put out on a day.

    Parameters
    ----------
    layers
        The layers as read.
    day
        The day of a release.

    Returns
    -------
    LayerSet
        Surveys up to and with the day, releases and visits of earlier days, treatments that had ended by it,
        single years of climate before its own. Rows without a date, the layers of `DROPPED` and an earlier
        run are left out; those of `KEPT` stay. A visit that names a hidden release is hidden with it.

    Notes
    -----
    Surveys of the day itself count: whoever releases maps the place. Releases of the day itself do not: the
    day was planned before any of them.
    """
    on = np.datetime64(day, "D")
    vectors = {name: frame for name, frame in layers.vectors.items() if name != "previous"}
    for name in SURVEYS:
        if name in vectors:
            vectors[name] = _only(vectors[name], _up_to(vectors[name]["survey_date"], on))
    if "treatments" in vectors:
        vectors["treatments"] = _only(vectors["treatments"], _up_to(vectors["treatments"]["end"], on))
    if "releases" in vectors:
        vectors["releases"] = _only(vectors["releases"], _before(vectors["releases"]["date"], on))
    if "visits" in vectors:
        visits, known = vectors["visits"], {""}
        if "releases" in vectors:
            known |= {str(name) for name in vectors["releases"]["release_id"]}
        names_known = visits["release_id"].isin(known).to_numpy(dtype=bool)
        vectors["visits"] = _only(visits, _before(visits["date"], on) & names_known)
    for name in DROPPED:
        if name in vectors:
            vectors[name] = vectors[name].iloc[:0]
    return replace(
        layers, vectors=vectors, weather=None, yearly_climate=_years_before(layers.yearly_climate, day.year)
    )


def tell_hindsight(layers: LayerSet) -> tuple[str, ...]:
    """Return what an earlier day is scored with and without, one sentence each: undated rows, whole layers.

    Parameters
    ----------
    layers
        The layers as read.
    """
    said = [_undated(layers, name, noun, "id", "survey_date") for name, noun in SURVEYS.items()]
    said += [_set_aside(layers, name, noun) for name, noun in DATED.items()]
    said.append(_undated(layers, "treatments", "treatment", "treatment_id", "end"))
    given = _given(layers)
    said += [
        f"{_titled(name)} has no dates and is left out: {DROPPED[name]}." for name in DROPPED if name in given
    ]
    kept: dict[str, list[str]] = {}
    for name in KEPT:
        if name in given:
            kept.setdefault(KEPT[name], []).append(name)
    said += [f"Kept although without a date: {', '.join(names)} ({why})." for why, names in kept.items()]
    return tuple(one for one in said if one)


def _given(layers: LayerSet) -> set[str]:
    tables = {
        "weather": layers.weather,
        "station_normals": layers.station_normals,
        "yearly_climate": layers.yearly_climate,
    }
    return {*layers.vectors, *layers.rasters, *(name for name, one in tables.items() if one is not None)}


def _titled(name: str) -> str:
    return f"The layer {name}"


def _undated(layers: LayerSet, name: str, noun: str, names: str, column: str) -> str:
    frame = layers.vectors.get(name)
    if frame is None or not frame[column].isna().any():
        return ""
    ids = [str(one) for one in frame.loc[frame[column].isna(), names]]
    return (
        f"{counted(len(ids), noun)} without a date left out ({listed(ids)}): nobody can say whether it was "
        "known then."
    )


def _set_aside(layers: LayerSet, name: str, noun: str) -> str:
    """Return which records were set aside when the layer was read, the undated ones among them."""
    findings = [one for one in layers.findings if one.layer == name and one.what.startswith("Set aside")]
    ids = list(dict.fromkeys(one.feature for one in findings if one.feature))
    if not ids:
        return ""
    told = counted(len(ids), noun)
    return f"{told} set aside, without a date or for what `geo-scout check` says ({listed(ids)})."


def _up_to(dates: pd.Series, day: np.datetime64) -> Rows:
    return np.asarray(dates.to_numpy().astype("datetime64[D]") <= day, dtype=bool)


def _before(dates: pd.Series, day: np.datetime64) -> Rows:
    return np.asarray(dates.to_numpy().astype("datetime64[D]") < day, dtype=bool)


def _only(frame: gpd.GeoDataFrame, rows: Rows) -> gpd.GeoDataFrame:
    return frame.loc[rows].reset_index(drop=True)


def _years_before(yearly: YearlyClimate | None, year: int) -> YearlyClimate | None:
    if yearly is None:
        return None
    parts: Iterable[pd.DataFrame] = (yearly.months, yearly.variables)
    months, variables = (one if one.empty else one[one["year"] < year] for one in parts)
    return None if months.empty and variables.empty else replace(yearly, months=months, variables=variables)
