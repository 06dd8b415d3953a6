"""Requests for agents, and the purpose they give a release site."""

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.evidence.placing import POSITION_FLOOR_M, nearest_patch
from geo_scout.model.finding import Finding
from geo_scout.model.rows import each_row

PRECEDENCE = ("supplement", "nursery", "new", "")
NO_WISH = PRECEDENCE.index("new")


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
    Where open requests differ, a supplement counts before a nursery and a nursery before a new site,
    since the first allows what the others do not; without a request the purpose is ``new``.
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
    order = np.array([PRECEDENCE.index(purpose) for purpose in placed["purpose"]], dtype=np.int64)
    wanted = pd.Series(order, index=placed["site_id"]).groupby(level=0).min()
    table["purpose"] = [
        PRECEDENCE[int(one)] or "new" for one in wanted.reindex(table.index, fill_value=NO_WISH)
    ]
    return table.reset_index()


def unplaced_requests(
    requests: gpd.GeoDataFrame | None, patches: gpd.GeoDataFrame, agent: str, join_m: float
) -> list[Finding]:
    """Return a finding for each open request for the agent that no patch carries."""
    if requests is None:
        return []
    is_open = requests["status"].str.casefold().isin(["", "open"])
    ours = requests[is_open & (requests["agent"] == agent)].reset_index(drop=True)
    reach_m = max(join_m, POSITION_FLOOR_M)
    lost = ours[nearest_patch(ours, patches, np.full(len(ours), reach_m)) == ""]
    places = lost.to_crs(4326).geometry
    return [
        Finding(
            code="request-without-site",
            grade="caution",
            layer="requests",
            feature=row.request_id,
            what=f"the open request lies more than {reach_m:g} m (join_m) from every patch of the host.",
            fix="Move the request onto its infestation, map the infestation, or close the request.",
            longitude_deg=longitude_deg,
            latitude_deg=latitude_deg,
        )
        for row, longitude_deg, latitude_deg in zip(each_row(lost), places.x, places.y, strict=True)
    ]
