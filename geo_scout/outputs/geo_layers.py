"""The result layers, in longitude and latitude, with the columns of the tables."""

from collections.abc import Iterable, Mapping

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.finding import Finding
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.public_places import at_public_places
from geo_scout.outputs.rounding import round_table
from geo_scout.outputs.tables import public_words

LONLAT = 4326
LAYER_OF_ROLE: dict[Role, str] = {"release": "release_sites", "source": "sources"}
PRIVATE_RECORDS = (
    "permit",
    "observer",
    "source_site",
    "voucher",
    "purpose",
    "lost_on",
    "coordinate_uncertainty_m",
)


def build_layers(
    result: SeasonResult, tables: Mapping[Role, pd.DataFrame], audience: Audience
) -> dict[str, gpd.GeoDataFrame]:
    """Return every result layer by name, in WGS 84.

    Parameters
    ----------
    result
        What the run found.
    tables
        The rounded tables by role.
    audience
        Public copies withhold permits, observers and crew bases, and put records at their patches.
    """
    layers = {LAYER_OF_ROLE[role]: _with_patches(result, table) for role, table in tables.items()}
    layers["patches"] = _patches(result)
    for name in ("releases", "visits", "populations"):
        layers[name] = _records(result, name, audience)
    if "boundaries" in result.layers.vectors:
        boundaries = result.layers.vectors["boundaries"]
        layers["districts"] = boundaries[["district", "jurisdiction", "geometry"]].to_crs(LONLAT)
    if audience != "public":
        layers["crew_bases"] = _crews(result)
        layers["findings"] = findings_layer(result.findings)
    return layers


def _with_patches(result: SeasonResult, table: pd.DataFrame) -> gpd.GeoDataFrame:
    frames = [result.sites[host].patches[["site_id", "geometry"]].assign(host=host) for host in result.sites]
    shapes = gpd.GeoDataFrame(pd.concat(frames, ignore_index=True), crs=result.layers.crs).to_crs(LONLAT)
    host_of = {agent.name: agent.host for agent in result.season.agents}
    wanted = pd.MultiIndex.from_arrays([table["agent"].map(host_of), table["site_id"]])
    rows = pd.MultiIndex.from_frame(shapes[["host", "site_id"]]).get_indexer(wanted)
    return gpd.GeoDataFrame(table, geometry=shapes.geometry.values.take(rows), crs=LONLAT)


def _patches(result: SeasonResult) -> gpd.GeoDataFrame:
    names = ["site_id", "host", "gross_ha", "infested_ha", "geometry"]
    parts = [sites.patches[names] for sites in result.sites.values()]
    patches = gpd.GeoDataFrame(pd.concat(parts, ignore_index=True), crs=result.layers.crs)
    return gpd.GeoDataFrame(round_table(patches), geometry="geometry", crs=result.layers.crs).to_crs(LONLAT)


def _records(result: SeasonResult, name: str, audience: Audience) -> gpd.GeoDataFrame:
    parts = [getattr(evidence, name).assign(agent=evidence.agent) for evidence in result.evidence.values()]
    if audience == "public":
        parts = [
            at_public_places(result, agent, part) for agent, part in zip(result.evidence, parts, strict=True)
        ]
    frame = gpd.GeoDataFrame(pd.concat(parts, ignore_index=True), geometry="geometry", crs=result.layers.crs)
    if audience == "public":
        frame = frame.drop(columns=[column for column in PRIVATE_RECORDS if column in frame])
        if "state_words" in frame:
            frame["state_words"] = public_words(frame["state_words"])
    rounded = gpd.GeoDataFrame(round_table(frame), geometry="geometry", crs=result.layers.crs)
    return rounded.to_crs(LONLAT)


def _crews(result: SeasonResult) -> gpd.GeoDataFrame:
    crews = result.season.settings.crews
    points = gpd.points_from_xy([c.base_longitude_deg for c in crews], [c.base_latitude_deg for c in crews])
    return gpd.GeoDataFrame({"name": [crew.name for crew in crews]}, geometry=points, crs=LONLAT)


def findings_layer(findings: Iterable[Finding]) -> gpd.GeoDataFrame:
    """Return the findings that have a place as points, in WGS 84."""
    placed = [finding for finding in findings if finding.longitude_deg is not None]
    names = ("grade", "code", "layer", "feature", "what", "fix")
    columns = {name: [getattr(finding, name) for finding in placed] for name in names}
    longitude_deg = np.array([finding.longitude_deg for finding in placed], dtype=np.float64)
    latitude_deg = np.array([finding.latitude_deg for finding in placed], dtype=np.float64)
    points = gpd.points_from_xy(longitude_deg, latitude_deg)
    return gpd.GeoDataFrame(columns, geometry=points, crs=LONLAT)
