"""The season file as values: every setting once, with default, unit, range, meaning and source."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from geo_scout.model.agent import AgentProfile
from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.combination import Method
from geo_scout.model.criteria import OUR_CHOICE, CriteriaTables, Role
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.records_table import RecordsTable
from geo_scout.model.rules import Rules
from geo_scout.model.scouting import ScoutingTable
from geo_scout.model.setting import Numbers, Table, Texts, setting, table
from geo_scout.model.weighing_settings import WeightsTables
from geo_scout.model.zones import HeatLoadEquation

FEWEST_DRAWS = 100
"""Fewer draws of weights and data are never made: a share of them would say next to nothing. Our choice."""
GEORECORD_FLOOR_M = 30.0
WeightsDrawn = Literal["around", "order", "free"]


class SeasonTable(Table):
    """What the season is."""

    title: str = setting("Untitled season", meaning="printed on every output")
    as_of: dt.date | None = setting(
        None, meaning="the only clock: nothing dated later is known yet; today when left out", unit="date"
    )
    start: dt.date | None = setting(None, meaning="first day of field work", unit="date")
    end: dt.date | None = setting(
        None, meaning="last day of field work; may lie in the next year", unit="date"
    )
    agents: Texts = setting(..., meaning="agent profiles, paths relative to the season file")
    outputs: str = setting("outputs", meaning="folder for the results, relative to the season file")
    previous: str | None = setting(None, meaning="an earlier result.gpkg, for the predecessors of patches")


class CrewTable(Table):
    """One crew and where it starts from."""

    name: str = setting(..., meaning="name of the crew or its base")
    base_longitude_deg: float = setting(
        ..., meaning="longitude of the base", unit="deg", least=-180, most=360
    )
    base_latitude_deg: float = setting(..., meaning="latitude of the base", unit="deg", least=-90, most=90)


class RankingTable(Table):
    """How scores are combined."""

    method: Method = setting(
        "weighted_sum",
        meaning="how the criteria are combined, in both rankings; ideal_distance is relative: one site more "
        "or less may turn the order of others",
        source="our choice: the plainest to redo by hand",
    )
    top_n: int = setting(
        10, meaning="sites shown first in summaries and labelled on the map", least=1, most=1000
    )
    draws: int | None = setting(
        None,
        meaning="how often weights and data are drawn to see how sure the order is; left out, as often as "
        "error_share asks, less often where there are very many sites",
        least=FEWEST_DRAWS,
        most=100_000,
    )
    error_share: float = setting(
        0.01,
        meaning="largest standard error that the number of draws may leave in a share of draws",
        unit="share",
        source=OUR_CHOICE,
        least=0.0016,
        most=0.05,
    )
    seed: int = setting(1, meaning="the same seed gives the same draws", least=0, most=2**31 - 1)
    weights_drawn: WeightsDrawn = setting(
        "around",
        meaning="around the weights given; by their order alone; or freely, as if nothing were known of them",
        source="our choice; a weight of 0 stays 0 in all three",
    )
    weights_spread_share: float = setting(
        0.05,
        meaning="how unsure the weights are when drawn around: the standard deviation of a weight of average "
        "size, of a sum of 1; never wider than if nothing were known of them",
        unit="share",
        source=OUR_CHOICE,
        above=0.0,
        most=0.25,
    )
    survey_change_share: float = setting(
        0.05,
        meaning="by how much an infested area may have grown or shrunk in each year since its survey, for "
        "the draws alone",
        unit="share per year",
        source="our choice; no published rate fits every weed. 0 takes old surveys as if made today",
        least=0.0,
        most=1.0,
    )
    attitude: float | None = setting(
        None,
        meaning="for ordered_average, and needed by it: 0 counts only a site's worst value, 0.5 is the "
        "weighted sum, 1 counts only its best (orness)",
        least=0.0,
        most=1.0,
    )
    source_method: Method | None = setting(None, meaning="method of the ranking of sources, if another")
    release_method: Method | None = setting(
        None, meaning="method of the ranking of release sites, if another"
    )
    source_attitude: float | None = setting(
        None, meaning="attitude of the ranking of sources, if another", least=0.0, most=1.0
    )
    release_attitude: float | None = setting(
        None, meaning="attitude of the ranking of release sites, if another", least=0.0, most=1.0
    )
    redundant_above: float = setting(
        0.8,
        meaning="two criteria whose values correlate this much or more over the ranked sites (Spearman) are "
        "named, because they may count one thing twice",
        source="our choice",
        least=0.0,
        most=1.0,
    )

    def method_of(self, role: Role) -> Method:
        """Return how the criteria of a role are combined."""
        return (self.source_method if role == "source" else self.release_method) or self.method

    def attitude_of(self, role: Role) -> float | None:
        """Return the attitude of a role's ordered average; None for every other method."""
        if self.method_of(role) != "ordered_average":
            return None
        own = self.source_attitude if role == "source" else self.release_attitude
        return self.attitude if own is None else own


class TerrainTable(Table):
    """How the shape of the ground is taken."""

    heat_load_equation: HeatLoadEquation = setting(
        3,
        meaning="1 holds for latitudes 0 to 60, 2 for these and slopes to 60 deg, 3 for latitudes 30 to 60 "
        "and slopes to 60 deg, north or south; beyond there is no heat load",
        source="our choice of McCune & Keon 2002, equations 1 to 3; only by 3 south-west is warmest",
    )
    surroundings_m: float = setting(
        500.0,
        meaning="how far the ground reaches, in each direction, above or below which a site lies",
        unit="m",
        source=OUR_CHOICE,
        least=30.0,
        most=5000.0,
    )


class SeasonSettings(Table):
    """The whole season file."""

    format: Literal[1] = setting(..., meaning="version of this file's grammar; always 1")
    season: SeasonTable = Field(..., description="what the season is")
    layers: "LayerTables" = Field(..., description="the maps")
    crews: Annotated[list[CrewTable], Field(min_length=1)] = Field(..., description="crews and their bases")
    cover_schemes: Mapping[str, Mapping[str, Numbers]] = table(
        dict,
        meaning="cover classes of your own, [cover_schemes.NAME] and in it "
        "CLASS = [low, middle, high] in percent; a layer uses them as class:NAME",
    )
    rules: Rules = table(Rules, meaning="limits")
    criteria: CriteriaTables = table(CriteriaTables, meaning="criteria of the two rankings")
    weights: WeightsTables = table(
        WeightsTables,
        meaning="weights by order, by comparison of two, or in groups; else the weight of each criterion",
    )
    ranking: RankingTable = table(RankingTable, meaning="how scores are combined")
    climate: ClimateTable = table(ClimateTable, meaning="how the climate gap is taken")
    terrain: TerrainTable = table(TerrainTable, meaning="how the shape of the ground is taken")
    records: RecordsTable = table(RecordsTable, meaning="how release and visit records are weighed")
    scouting: ScoutingTable = table(ScoutingTable, meaning="what a scouting visit is measured against")


class LayerTables(Table):
    """The layers by name."""

    infestations: LayerTable = Field(..., description="where the hosts grow")
    surveyed_areas: LayerTable | None = setting(None, meaning="areas surveyed, with or without the host")
    releases: LayerTable | None = setting(None, meaning="past releases of agents")
    visits: LayerTable | None = setting(None, meaning="visits after a release, and finds without one")
    requests: LayerTable | None = setting(None, meaning="who asked for agents where")
    treatments: LayerTable | None = setting(None, meaning="herbicide, mowing and grazing, past and planned")
    land_classes: LayerTable | None = setting(None, meaning="land the season forbids, asks about or prefers")
    boundaries: LayerTable | None = setting(None, meaning="districts and jurisdictions")
    roads: LayerTable | None = setting(None, meaning="roads, for the map")
    water: LayerTable | None = setting(None, meaning="streams and lakes, for the map")
    places: LayerTable | None = setting(None, meaning="towns, passes and peaks, for their names on the map")
    elevation: LayerTable | None = setting(None, meaning="elevation raster")
    tmin: LayerTable | None = setting(None, meaning="mean daily minimum by month, twelve bands, degC")
    tmax: LayerTable | None = setting(None, meaning="mean daily maximum by month, twelve bands, degC")
    precipitation: LayerTable | None = setting(None, meaning="precipitation by month, twelve bands, mm")
    bioclim: LayerTable | None = setting(None, meaning="ready bioclimatic variables, one band each")
    climate_elevation: LayerTable | None = setting(
        None, meaning="elevation of the climate rasters' own cells, to bring climate to each site's elevation"
    )
    extremes: LayerTable | None = setting(
        None,
        meaning="lowest and highest temperature of the year, two named bands",
    )
    weather: LayerTable | None = setting(None, meaning="daily temperatures of one or more stations")
    station_normals: LayerTable | None = setting(None, meaning="monthly normals of one or more stations")
    yearly_climate: LayerTable | None = setting(
        None, meaning="climate of single years where populations are, for the year-to-year climate gap"
    )

    def given(self) -> dict[str, LayerTable]:
        """Return the layers the season names, by name."""
        pairs = ((name, getattr(self, name)) for name in type(self).model_fields)
        return {name: layer for name, layer in pairs if layer is not None}


@dataclass(frozen=True)
class Season:
    """A season read from disk: settings, agent profiles, and where its file is.

    Parameters
    ----------
    path
        The season file.
    settings
        Its tables, defaults filled in.
    agents
        One profile per agent, in the order of the file.
    as_of
        The only clock.
    given
        Dotted keys the file itself states, tables and leaves (``rules``, ``rules.join_m``,
        ``crews.0.name``); every other setting is a default.
    """

    path: Path
    settings: SeasonSettings
    agents: tuple[AgentProfile, ...]
    as_of: dt.date
    given: frozenset[str]

    @property
    def folder(self) -> Path:
        """Folder that relative paths start from."""
        return self.path.parent

    @property
    def rules(self) -> Rules:
        """Limits of the season."""
        return self.settings.rules

    @property
    def hosts(self) -> tuple[str, ...]:
        """Hosts of the season's agents, each once, in the order of the agents."""
        return tuple(dict.fromkeys(agent.host for agent in self.agents))

    def file_of(self, relative: str) -> Path:
        """Return the path of a file named in the season file."""
        return self.folder / relative


SeasonSettings.model_rebuild()
