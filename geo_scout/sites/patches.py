"""Infestations of one host become candidate patches."""

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from geo_scout.formulas.linkage import single_linkage, split_extent
from geo_scout.formulas.unions import union_by_label
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.layers import LayerSet
from geo_scout.model.rows import each_row, plain_values
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites
from geo_scout.sites.ancestry import find_predecessors
from geo_scout.sites.current import keep_current
from geo_scout.sites.districts import split_by_district
from geo_scout.sites.identity import host_code, member_ids, natural_key, site_ids
from geo_scout.sites.patch_table import describe_patches
from geo_scout.sites.surroundings import (
    add_surroundings,
    overlap_land,
    overlap_required,
    overlap_treatments,
)

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
    # Ids come first: an infestation that a newer survey trims keeps the id of its whole outline.
    infestations = infestations.assign(member_id=member_ids(infestations))
    surveys = layers.vectors.get("surveyed_areas")
    current, findings = keep_current(infestations, None if surveys is None else _of_host(surveys, host))
    current = current.assign(is_refused=current["permission"] == "no")
    pieces = split_by_district(current, layers.vectors.get("boundaries"))
    members = _link(pieces, season.rules.join_m, season.rules.max_patch_km * 1000)
    members = _name_sites(members, _code_of(season, host))
    patches = describe_patches(members, host, season.as_of)
    patches = patches.assign(predecessors=find_predecessors(patches, layers.vectors.get("previous")))
    land_classes = layers.vectors.get("land_classes")
    return Sites(
        host=host,
        patches=add_surroundings(patches, land_classes, season.rules, season.settings.crews),
        members=members,
        land=overlap_land(patches, land_classes, season.rules),
        treatments=overlap_treatments(patches, layers.vectors.get("treatments")),
        required=overlap_required(patches, _required(layers, season, host)),
        findings=tuple(findings),
    )


def _required(layers: LayerSet, season: Season, host: str) -> dict[str, gpd.GeoDataFrame]:
    """Return the polygon layers the season marks as required; surveys for other hosts do not count."""
    given = season.settings.layers.given()
    names = [name for name, kind in VECTOR_LAYERS.items() if kind.shapes == "polygons"]
    frames = {name: layers.vectors[name] for name in names if name in given and given[name].required}
    return {name: _of_host(one, host) if "host" in one else one for name, one in frames.items()}


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
    """Return one too long cluster cut to the cap; ground that no longer hangs together is parted.

    The two arms of a bend, for instance, where the line cuts off the bend of one infestation.
    """
    rows, wholes, clusters = [], [], []
    for piece in split_extent(cluster.geometry.to_numpy(), max_extent_m):
        row = np.array([member for member, _ in piece])
        shapes, owner = shapely.get_parts(np.array([s for _, s in piece], dtype=object), return_index=True)
        row, label = row[owner], single_linkage(shapes, join_m)
        keys, inverse = np.unique(np.column_stack([label, row]), axis=0, return_inverse=True)
        rows.append(keys[:, 1])
        wholes.append(union_by_label(shapes, inverse))
        clusters.append(keys[:, 0] + next_label)
        next_label += int(label.max()) + 1
    # One frame for all pieces: a frame for each would take most of the time.
    whole = gpd.GeoSeries(np.concatenate(wholes), crs=cluster.crs)
    cut = cluster.iloc[np.concatenate(rows)].reset_index(drop=True).set_geometry(whole)
    return cut.assign(cluster=np.concatenate(clusters)), next_label


def _name_sites(members: gpd.GeoDataFrame, code: str) -> gpd.GeoDataFrame:
    """Return the members with ``gross_ha`` and ``site_id``, sorted by site and member."""
    members = members.assign(gross_ha=members.area.to_numpy() / 10_000, **members.bounds[["minx", "miny"]])
    by_cluster = members.groupby("cluster", sort=True)
    corner_m = by_cluster[["minx", "miny"]].min().to_numpy()
    ids: dict[int, list[str]] = {cluster: [] for cluster in sorted(set(members["cluster"].tolist()))}
    for cluster, one in zip(members["cluster"].tolist(), plain_values(members["member_id"]), strict=True):
        ids[cluster].append(one)
    named = site_ids(code, list(ids.values()), by_cluster["gross_ha"].sum().to_numpy(), corner_m)
    site_of = dict(zip(ids, named, strict=True))
    members = members.assign(site_id=members["cluster"].map(site_of)).drop(columns=["minx", "miny"])
    keys = [
        (site, natural_key(one), row) for site, one, row in each_row(members[["site_id", "member_id", "row"]])
    ]
    return members.iloc[sorted(range(len(keys)), key=keys.__getitem__)].reset_index(drop=True)
