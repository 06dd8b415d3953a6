"""Requests for agents, and the purpose they give a release site."""

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.sites.placing import POSITION_FLOOR_M, nearest_patch


def purposes(
    requests: gpd.GeoDataFrame | None, patches: gpd.GeoDataFrame, agent: str, join_m: float
) -> pd.DataFrame:
    """Return ``request_ids`` and ``purpose`` per patch.

    Parameters
    ----------
    requests
        Points with ``request_id``, ``agent`` ("" any), ``status`` ("" or open), ``purpose``, ``date``.
    patches
        Patches with ``site_id`` in the same planar CRS [m].
    agent
        Name of the agent.
    join_m
        A request belongs to the nearest patch within this distance [m].

    Notes
    -----
    The oldest open request decides the purpose; without one it is ``new``.
    """
    table = pd.DataFrame({"site_id": patches["site_id"].to_numpy(), "request_ids": "", "purpose": "new"})
    if requests is None:
        return table
    is_open = requests["status"].str.casefold().isin(["", "open"])
    ours = requests[is_open & requests["agent"].isin([agent, ""])].reset_index(drop=True)
    tolerance = np.full(len(ours), max(join_m, POSITION_FLOOR_M))
    placed = ours.assign(site_id=nearest_patch(ours, patches, tolerance))
    placed = placed[placed["site_id"] != ""].sort_values(["date", "request_id"], kind="stable")
    by_site = placed.groupby("site_id")
    table = table.set_index("site_id")
    table["request_ids"] = by_site["request_id"].agg("; ".join).reindex(table.index, fill_value="")
    table["purpose"] = by_site["purpose"].first().reindex(table.index, fill_value="new").replace("", "new")
    return table.reset_index()
