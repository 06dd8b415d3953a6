"""Layers, seasons and agents for the tests of the sites room, in the form the layers room gives them.

Shapes are in the metres of a working system centred on 47 N 110 W unless a test says otherwise, so that
areas and gaps can be done in the head.
"""

import datetime as dt
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from pyproj import CRS, Transformer

from geo_scout.formulas.geodesy import working_crs
from geo_scout.model.agent import AgentProfile
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season, SeasonSettings

AS_OF = dt.date(2026, 11, 1)
PLANE = working_crs(-110.0, 47.0)
HOST, AGENT = "ashthorn", "stem weevil"
WORDS: Mapping[str, Mapping[str, Any]] = {
    "infestations": {"host": HOST, "result": "present", "permission": "unknown"},
    "surveyed_areas": {"host": HOST, "result": "surveyed"},
    "releases": {"agent": AGENT, "purpose": "new"},
    "visits": {"agent": AGENT},
    "requests": {"agent": AGENT, "purpose": "new", "status": "open"},
}
COVER = {"cover_share": 0.5, "cover_low_share": 0.5, "cover_high_share": 0.5, "cover_scheme": "percent"}
EXTRA: Mapping[str, Mapping[str, Any]] = {"infestations": COVER, "visits": {"found": False}}


def square(west_m: float, south_m: float = 0.0, size_m: float = 100.0) -> shapely.Polygon:
    """Return a square by its south-west corner; 100 m on a side is one hectare."""
    return shapely.box(west_m, south_m, west_m + size_m, south_m + size_m)


def point(east_m: float, north_m: float = 50.0) -> shapely.Point:
    return shapely.Point(east_m, north_m)


def row(shape: Any, **given: Any) -> dict[str, Any]:
    """Return one feature: its shape and the columns that matter to the test."""
    return {"geometry": shape, **given}


def layer(name: str, rows: Sequence[Mapping[str, Any]], crs: CRS = PLANE) -> gpd.GeoDataFrame:
    """Return a layer with every column its kind has, as the layers room types them."""
    words, extra = WORDS.get(name, {}), EXTRA.get(name, {})
    columns: dict[str, Any] = {"row": np.array([one.get("row", n) for n, one in enumerate(rows, 1)], int)}
    for column in VECTOR_LAYERS[name].columns:
        values = [one.get(column.name) for one in rows]
        if column.kind == "number":
            columns[column.name] = np.array([np.nan if v is None else v for v in values], float)
        elif column.kind == "date":
            columns[column.name] = np.array(
                [np.datetime64("NaT") if v is None else v for v in values], dtype="datetime64[s]"
            )
        else:
            default = words.get(column.name, "")
            columns[column.name] = np.array([default if v is None else v for v in values], dtype=object)
    for column_name, default in extra.items():
        kind = object if isinstance(default, str) else type(default)
        columns[column_name] = np.array([one.get(column_name, default) for one in rows], dtype=kind)
    shapes = np.array([one["geometry"] for one in rows], dtype=object)
    return gpd.GeoDataFrame(columns, geometry=shapes, crs=crs)


def layers(crs: CRS = PLANE, **rows_of: Sequence[Mapping[str, Any]]) -> LayerSet:
    """Return a layer set; each keyword is a layer and its features."""
    return LayerSet(
        crs=crs, vectors={name: layer(name, rows, crs) for name, rows in rows_of.items()}, rasters={}
    )


def agent(name: str = AGENT, host: str = HOST, **tables: Any) -> AgentProfile:
    tables.setdefault("establishment", {"prior_share": 0.5})
    return AgentProfile.model_validate({"format": 1, "name": name, "host": host, **tables})


def season(
    *agents: AgentProfile, rules: Any = None, crews: Any = None, as_of: dt.date = AS_OF, records: Any = None
) -> Season:
    """Return a season of the agents, one crew at 110 W 47 N unless the test has its own."""
    bases = crews or [("Base", -110.0, 47.0)]
    given = {
        "format": 1,
        "season": {"agents": ["agents/a.toml"]},
        "layers": {"infestations": {"path": "weeds.gpkg"}},
        "crews": [
            {"name": name, "base_longitude_deg": longitude, "base_latitude_deg": latitude}
            for name, longitude, latitude in bases
        ],
        "rules": rules or {},
        "records": records or {},
    }
    return Season(
        Path("season.toml"), SeasonSettings.model_validate(given), agents or (agent(),), as_of, frozenset()
    )


def degrees(east_m: Any, north_m: Any, crs: CRS = PLANE) -> tuple[Any, Any]:
    """Return longitude and latitude of positions in the plane [deg]."""
    return Transformer.from_crs(crs, CRS.from_epsg(4326), always_xy=True).transform(east_m, north_m)
