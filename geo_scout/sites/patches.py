"""Infestations of one host become candidate patches."""

from collections.abc import Sequence

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.linkage import single_linkage, split_extent
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.sites.ancestry import find_predecessors
from geo_scout.sites.current import keep_current
from geo_scout.sites.districts import split_by_district
from geo_scout.sites.identity import geometry_digests, host_code, member_ids, site_ids
from geo_scout.sites.patch_table import describe_patches
from geo_scout.sites.surroundings import add_surroundings, overlap_land, overlap_treatments

SPLIT_BY = ("manager", "parcel", "district", "jurisdiction", "is_refused")


def find_patches(layers: LayerSet, season: Season, host: str) -> Sites:
    """Return the candidate patches of one host.

    Parameters
    ----------
    layers
        The season's layers in the working CRS.
    season
        Rules, crews and the clock.
    host
        Name of the host weed.

    Notes
    -----
    Newer surveys remove older cover first. Infestations within ``join_m`` of each other, edge to
    edge, are one patch (single linkage) when they share manager, parcel, district and jurisdiction;
    ground where permission is refused is never joined to other ground. A patch longer than
    ``max_patch_km`` is cut.
    """
    infestations = _of_host(layers.vectors["infestations"], host)
    surveys = layers.vectors.get("surveyed_areas")
    current, findings = keep_current(infestations, None if surveys is None else _of_host(surveys, host))
    current = current.assign(member_id=member_ids(current), is_refused=current["permission"] == "no")
    pieces = split_by_district(current, layers.vectors.get("boundaries"))
    members = _link(pieces, season.rules.join_m, season.rules.max_patch_km * 1000)
    members = _name_sites(members, _code_of(season, host))
    patches = describe_patches(members, host, season.as_of)
    patches = patches.assign(predecessors=find_predecessors(patches, layers.vectors.get("previous")))
    land = overlap_land(patches, layers.vectors.get("land_classes"), season.rules)
    return Sites(
        host=host,
        patches=add_surroundings(patches, land, season.settings.crews),
        members=members,
        land=land,
        treatments=overlap_treatments(patches, layers.vectors.get("treatments")),
        findings=tuple(findings),
    )


def _of_host(frame: gpd.GeoDataFrame, host: str) -> gpd.GeoDataFrame:
    return frame[frame["host"].isin([host, ""])].reset_index(drop=True)


def _code_of(season: Season, host: str) -> str:
    stated = next(
        (agent.host_code for agent in season.agents if agent.host == host and agent.host_code), None
    )
    return host_code(host, stated)


def _link(pieces: gpd.GeoDataFrame, join_m: float, max_extent_m: float) -> gpd.GeoDataFrame:
    """Return the pieces with ``cluster``, those of too long clusters cut further."""
    group = pieces.groupby(list(SPLIT_BY), sort=False).ngroup().to_numpy()
    label = single_linkage(pieces.geometry.to_numpy(), join_m, group)
    bounds = pieces.bounds.groupby(label).agg({"minx": "min", "miny": "min", "maxx": "max", "maxy": "max"})
    extent = np.asarray(np.hypot(bounds["maxx"] - bounds["minx"], bounds["maxy"] - bounds["miny"]))
    long_labels = np.flatnonzero(extent > max_extent_m)
    is_long = np.isin(label, long_labels)
    short = pieces[~is_long].assign(cluster=label[~is_long])
    parts = [short]
    next_label = int(label.max(initial=-1)) + 1
    for one in long_labels:
        cut, next_label = _cut_cluster(pieces[label == one], join_m, max_extent_m, next_label)
        parts.append(cut)
    return gpd.GeoDataFrame(pd.concat(parts, ignore_index=True), crs=pieces.crs)


def _cut_cluster(
    cluster: gpd.GeoDataFrame, join_m: float, max_extent_m: float, next_label: int
) -> tuple[gpd.GeoDataFrame, int]:
    """Return one too long cluster cut to the cap; halves that no longer hang together are parted."""
    parts = []
    for piece in split_extent(cluster.geometry.to_numpy(), max_extent_m):
        rows, shapes = [row for row, _ in piece], np.array([shape for _, shape in piece], dtype=object)
        label = single_linkage(shapes, join_m)
        part = cluster.iloc[rows].set_geometry(
            gpd.GeoSeries(shapes, index=cluster.index[rows], crs=cluster.crs)
        )
        parts.append(part.assign(cluster=label + next_label))
        next_label += int(label.max()) + 1
    return gpd.GeoDataFrame(pd.concat(parts), crs=cluster.crs), next_label


def _name_sites(members: gpd.GeoDataFrame, code: str) -> gpd.GeoDataFrame:
    """Return the members with ``gross_ha`` and ``site_id``, sorted by site and member."""
    members = members.assign(gross_ha=members.area.to_numpy() / 10_000)
    by_cluster = members.groupby("cluster", sort=True)
    shapes = gpd.GeoDataFrame(
        geometry=[shapely.union_all(part.geometry.to_numpy()) for _, part in by_cluster], crs=members.crs
    )
    ids: Sequence[list[str]] = [list(part["member_id"]) for _, part in by_cluster]
    gross_ha: NDArray[np.float64] = np.asarray(by_cluster["gross_ha"].sum())
    named = site_ids(code, ids, gross_ha, geometry_digests(shapes))
    site_of = dict(zip(by_cluster.groups, named, strict=True))
    members = members.assign(site_id=members["cluster"].map(site_of))
    return members.sort_values(["site_id", "member_id", "row"], kind="stable").reset_index(drop=True)
