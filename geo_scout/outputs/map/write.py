"""Write the map: put the page together, look at it once more, and only then touch the disk."""

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pandas as pd

from geo_scout.formulas.longitudes import middle_of
from geo_scout.model.criteria import Role
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.base_layers import add_base_layers
from geo_scout.outputs.map.guard import check_page, content_policy
from geo_scout.outputs.map.packing import pack_tree
from geo_scout.outputs.map.page import OfflineMap, Page
from geo_scout.outputs.map.payload import build_payload


def write_map(
    path: Path, result: SeasonResult, tables: Mapping[Role, pd.DataFrame], audience: Audience
) -> None:
    """Write the interactive map as one file that opens with no network.

    Parameters
    ----------
    path
        The HTML file.
    result
        What the run found.
    tables
        Per role the rounded output table of all agents; every number on the map comes from it.
    audience
        Who will read it: ``crew``, ``board`` or ``public``.

    Raises
    ------
    RemoteReference
        The page would reach outside itself; nothing was written.
    """
    path.write_bytes(build_page(result, tables, audience).encode("utf-8"))


def build_page(result: SeasonResult, tables: Mapping[Role, pd.DataFrame], audience: Audience) -> str:
    """Return the map's page, checked.

    Parameters
    ----------
    result, tables, audience
        As for `write_map`.
    """
    longitude_deg, latitude_deg = _centre_deg(tables)
    season_map = OfflineMap(latitude_deg, longitude_deg)
    base = add_base_layers(season_map, result, audience)
    title = f"{result.season.settings.season.title}: sites of the season"
    payload = build_payload(result, tables, audience, base)
    page = Page(title, season_map, {"packed": pack_tree(payload)} if payload["is_large"] else payload)
    scripts = page.scripts()
    text = page.render(scripts, content_policy(scripts, page.styles()))
    check_page(text)
    return text


def _centre_deg(tables: Mapping[Role, pd.DataFrame]) -> tuple[float, float]:
    """Return longitude and latitude of the middle of the sites, which may lie on both sides of 180 deg."""
    every = pd.concat([table[["longitude_deg", "latitude_deg"]] for table in tables.values()]).dropna()
    if every.empty:
        return 0.0, 0.0
    longitude_deg, latitude_deg = every.to_numpy(dtype=float).T
    middle = np.round([middle_of(longitude_deg), (latitude_deg.min() + latitude_deg.max()) / 2.0], 6)
    return float(middle[0]), float(middle[1])
