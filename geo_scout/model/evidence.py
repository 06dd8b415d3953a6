"""What the records say of one agent: releases, visits, confirmed populations, each patch."""

from dataclasses import dataclass

import geopandas as gpd
import pandas as pd

from geo_scout.model.finding import Finding


@dataclass(frozen=True)
class Evidence:
    """The records of one agent held against the patches of its host.

    Parameters
    ----------
    agent
        Name of the agent.
    releases
        The agent's releases with ``outcome`` ("found", "not found", "not visited"), ``visits``
        (number), ``last_visit`` (date), ``year_found`` (nan), ``site_id`` (patch it lies in, or "").
    visits
        The agent's visits with ``site_id``, ``found``, ``confirms`` and ``years_since_release``.
    populations
        Confirmed populations, one row each: ``population_id``, ``name``, ``site_id`` ("" outside
        every patch), ``first_found``, ``last_found`` (dates), ``found_by`` (visit ids, text),
        ``release_ids`` (text), ``latest_result`` ("found" or "not found on DATE"), geometry: the
        patch, or the point.
    sites
        One row per patch in the order of ``Sites.patches``: ``site_id``, ``population_id`` (nearest,
        "" none), ``population_name``, ``population_distance_km`` (nan none), ``confirmed`` (in the
        patch), ``confirmed_year`` (nan), ``confirmed_by`` (text), ``latest_result`` (text),
        ``release_ids`` (in the patch, text), ``unvisited_release_ids`` (text), ``first_release``,
        ``latest_release`` (dates), ``request_ids``, ``purpose`` (new, supplement, nursery),
        ``host_around_ha`` (nan: no spread in the profile).
    findings
        What was noticed on the way, for example requests that no patch carries.
    """

    agent: str
    releases: gpd.GeoDataFrame
    visits: gpd.GeoDataFrame
    populations: gpd.GeoDataFrame
    sites: pd.DataFrame
    findings: tuple[Finding, ...] = ()
