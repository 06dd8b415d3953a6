"""Everything one run found, before and after it is written."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import geopandas as gpd
import pandas as pd

from geo_scout.model.criteria import Role
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.finding import Finding
from geo_scout.model.layers import LayerSet
from geo_scout.model.ranking import Ranking
from geo_scout.model.records_by_year import RecordsByYear
from geo_scout.model.scouting import ScoutingList
from geo_scout.model.season import Season
from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ReliefGrid, ZoneTable

Audience = Literal["crew", "board", "public"]
AUDIENCES: tuple[Audience, ...] = ("crew", "board", "public")


@dataclass(frozen=True, slots=True)
class LegalQuestion:
    """An agent whose legal status must be asked before anything moves."""

    agent: str
    jurisdiction: str
    authority: str
    reason: str

    def text(self) -> str:
        """Return the line every output carries."""
        authority = f" Ask {self.authority}." if self.authority else " Ask the authority in charge."
        return f"STOP AND ASK: {self.agent}: {self.reason}.{authority}"


@dataclass(frozen=True)
class SeasonResult:
    """What one run found.

    Parameters
    ----------
    season, layers
        What went in.
    sites
        Patches by host.
    evidence
        Records by agent.
    rankings
        Two per agent: collection sources and release sites.
    exclusions
        Every reason for every site left out.
    questions
        Legal status that must be asked.
    findings
        What was noticed in the layers and on the way.
    relief
        Elevation for the map, if the season has an elevation raster.
    outputs
        Folder the results were written to; None when they were not written.
    windows
        By agent and role: when sources can be collected, and when release sites can receive.
    zones
        What the rasters say of every zone.
    scouting
        Two per agent: where a visit is worth most, for sources and for release sites.
    records_by_year
        By agent: what its records said at the end of each year that is past.
    possible_sources
        By agent whose climate gap is measured: the ranked release sites and ranked sources nearest to each
        other in climate (`criteria.climate_gap.possible_sources`): ``site_id``, ``source_site_id``,
        ``climate_gap``, ``source_order`` and ``site_order``.
    """

    season: Season
    layers: LayerSet
    sites: Mapping[str, Sites]
    evidence: Mapping[str, Evidence]
    rankings: tuple[Ranking, ...]
    exclusions: tuple[Exclusion, ...]
    questions: tuple[LegalQuestion, ...]
    findings: tuple[Finding, ...]
    relief: ReliefGrid | None = None
    outputs: Path | None = None
    windows: Mapping[tuple[str, Role], SiteWindows] = field(default_factory=dict)
    zones: ZoneTable | None = None
    scouting: tuple[ScoutingList, ...] = ()
    records_by_year: Mapping[str, RecordsByYear] = field(default_factory=dict)
    possible_sources: Mapping[str, pd.DataFrame] = field(default_factory=dict)

    @property
    def is_feasible(self) -> bool:
        """Whether any ranking ranks any site."""
        return any(len(ranking.ranked) for ranking in self.rankings)

    def ranking(self, agent: str, role: Role) -> Ranking:
        """Return the ranking of one agent in one role."""
        for ranking in self.rankings:
            if ranking.agent == agent and ranking.role == role:
                return ranking
        message = f"there is no {role} ranking for the agent {agent!r}"
        raise KeyError(message)

    def frame(self, agent: str, role: Role) -> gpd.GeoDataFrame:
        """Return one ranking with the patches' geometry in the working CRS."""
        ranking = self.ranking(agent, role)
        host = next(profile.host for profile in self.season.agents if profile.name == agent)
        patches = self.sites[host].patches
        rows = pd.Index(patches["site_id"]).get_indexer(pd.Index(ranking.table["site_id"]))
        geometry = patches.geometry.values.take(rows)
        return gpd.GeoDataFrame(ranking.table, geometry=geometry, crs=self.layers.crs)
