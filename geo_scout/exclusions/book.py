"""What every limit may look at: one agent, one role, its sites, records and rules."""

import datetime as dt
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.quantities import EXTREMES, HEAT_SUM
from geo_scout.model.season import Season
from geo_scout.model.site_windows import YearlyExtremes
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable


@dataclass(frozen=True)
class SiteBook:
    """Everything known of the sites of one agent in one role before the ranking.

    Parameters
    ----------
    agent, role, season
        Whose ranking.
    sites, evidence
        Patches and records, rows in the same order.
    raster_share
        Site (row) x raster layer: share of the patch with a value [share].
    climate
        Site (row) x quantity: climate variables, elevation, terrain, heat and extremes [by variable].
    basis
        Site (row) x quantity: what a value rests on where that is not a raster, for a reader; no column
        where all are of rasters.
    """

    agent: AgentProfile
    role: Role
    season: Season
    sites: Sites
    evidence: Evidence
    raster_share: pd.DataFrame
    climate: pd.DataFrame
    basis: pd.DataFrame = field(default_factory=pd.DataFrame)

    @property
    def field_start(self) -> dt.date:
        """First day of field work, or the clock where the season states none."""
        return self.season.settings.season.start or self.season.as_of

    def exclude(
        self,
        site_id: str,
        code: str,
        sentence: str,
        remedy: str,
        *,
        measured: float | None = None,
        limit: float | None = None,
        unit: str = "",
    ) -> Exclusion:
        """Return one exclusion of this book's ranking."""
        return Exclusion(self.agent.name, self.role, site_id, code, sentence, measured, limit, unit, remedy)


def book_of(
    agent: AgentProfile,
    role: Role,
    season: Season,
    sites: Sites,
    evidence: Evidence,
    zones: ZoneTable,
    heat_sum: NDArray[np.float64] | None = None,
    extremes: YearlyExtremes | None = None,
) -> SiteBook:
    """Return the book of one ranking, the zone table cut to its patches.

    ``heat_sum`` is the year's heat at each patch, where the profile's heat window can give it [degC days];
    ``extremes`` fill in where no raster has the extremes of the year.
    """
    rows = zones.rows_of("patch", sites.host, sites.site_ids)
    climate = zones.mean.iloc[rows].reset_index(drop=True)
    basis = pd.DataFrame(index=climate.index)
    if extremes is not None:
        for name, values in zip(EXTREMES, (extremes.min_degc, extremes.max_degc), strict=True):
            raster = climate.reindex(columns=[name]).to_numpy(dtype=np.float64)[:, 0]
            climate[name] = np.where(np.isnan(raster), values, raster)
            basis[name] = np.where(np.isnan(raster), extremes.basis, "")
    return SiteBook(
        agent=agent,
        role=role,
        season=season,
        sites=sites,
        evidence=evidence,
        raster_share=zones.valid_share.iloc[rows].reset_index(drop=True),
        climate=climate if heat_sum is None else climate.assign(**{HEAT_SUM: heat_sum}),
        basis=basis,
    )
