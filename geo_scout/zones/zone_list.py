"""The list of zones every raster is asked about: patches, populations, reference land."""

from collections.abc import Mapping

import geopandas as gpd
import numpy as np
import pandas as pd
from pyproj import CRS

from geo_scout.model.evidence import Evidence
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites

PATCH, POPULATION, KNOWN, REFERENCE = "patch", "population", "known population", "reference"


def place_zones(
    sites: Mapping[str, Sites], evidence: Mapping[str, Evidence], layers: LayerSet, season: Season
) -> gpd.GeoDataFrame:
    """Return one row per zone, indexed by (kind, owner, name).

    Owner is the host for patches and the agent for populations. Populations inside a patch are the
    patch's own zone and are not listed again.

    Parameters
    ----------
    sites
        Patches by host.
    evidence
        Records by agent.
    layers
        For the reference layer of ``[climate] reference``.
    season
        For the known populations of the agents' profiles.
    """
    parts = [
        _zones(PATCH, host, found.patches["site_id"], found.patches.geometry, layers.crs)
        for host, found in sites.items()
    ]
    for agent, records in evidence.items():
        outside = records.populations[records.populations["site_id"] == ""]
        parts.append(_zones(POPULATION, agent, outside["population_id"], outside.geometry, layers.crs))
    parts += [_known_populations(season, layers.crs), _reference(layers, season.settings.climate.reference)]
    full = [part for part in parts if len(part)]
    return gpd.GeoDataFrame(pd.concat(full or parts[:1]), crs=layers.crs)


def _zones(kind: str, owner: str, names: pd.Series, shapes: gpd.GeoSeries, crs: CRS) -> gpd.GeoDataFrame:
    index = pd.MultiIndex.from_arrays([[kind] * len(names), [owner] * len(names), list(names)])
    return gpd.GeoDataFrame(geometry=shapes.to_numpy(), index=index, crs=crs)


def _known_populations(season: Season, crs: CRS) -> gpd.GeoDataFrame:
    placed = [
        (agent.name, known.name, known.longitude_deg, known.latitude_deg, known.elevation_m)
        for agent in season.agents
        for known in agent.known_populations
        if known.longitude_deg is not None and known.latitude_deg is not None
    ]
    points = gpd.points_from_xy([p[2] for p in placed], [p[3] for p in placed], crs=4326).to_crs(crs)
    index = (
        pd.MultiIndex.from_tuples([(KNOWN, agent, name) for agent, name, *_ in placed]) if placed else None
    )
    stated = pd.Series([p[4] for p in placed], index=index, dtype=np.float64)
    return gpd.GeoDataFrame({"stated_elevation_m": stated}, geometry=points, index=index, crs=crs)


def _reference(layers: LayerSet, name: str) -> gpd.GeoDataFrame:
    if name == "infestations" or name not in layers.vectors:
        return gpd.GeoDataFrame(geometry=[], crs=layers.crs)
    frame = layers.vectors[name]
    return _zones(REFERENCE, name, frame["row"].astype(str), frame.geometry, layers.crs)
