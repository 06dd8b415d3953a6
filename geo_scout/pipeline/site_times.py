"""When things happen at the patches of every agent: windows, and the heat of a year."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.criteria import Role
from geo_scout.model.layers import LayerSet
from geo_scout.model.quantities import HEAT_SUM
from geo_scout.model.season import Season
from geo_scout.model.site_windows import SiteWindows, YearlyExtremes
from geo_scout.model.sites import Sites
from geo_scout.model.zones import ZoneTable
from geo_scout.timing import (
    at_patches,
    season_reference,
    site_windows,
    with_cautions,
    yearly_extremes,
    yearly_heat,
)

# Sources first: a coordinator asks where the agents come from before where they go.
ROLE_ORDER: tuple[Role, ...] = ("source", "release")


@dataclass(frozen=True)
class SiteTimes:
    """What the year brings at the patches of every agent.

    Parameters
    ----------
    windows
        By agent and role: collecting for sources, receiving for release sites.
    heat_sums
        By agent: heat of a year at each patch, for agents with a limit of it [degC days].
    extremes
        By host: the coldest and the hottest day of a usual year at each patch, from daily weather.
    """

    windows: Mapping[tuple[str, Role], SiteWindows]
    heat_sums: Mapping[str, NDArray[np.float64]]
    extremes: Mapping[str, YearlyExtremes]


def time_sites(season: Season, sites: Mapping[str, Sites], zones: ZoneTable, layers: LayerSet) -> SiteTimes:
    """Return every agent's windows at every patch, and the year's heat where its profile limits that."""
    reference = season_reference(season.as_of, season.settings.season.start)
    climate = season.settings.climate
    dates = season.settings.season.start, season.settings.season.end
    places = {host: at_patches(one, zones, layers, climate) for host, one in sites.items()}
    windows: dict[tuple[str, Role], SiteWindows] = {}
    heat_sums = {}
    for agent in season.agents:
        here, timing = places[agent.host], agent.timing
        for role in ROLE_ORDER:
            table = timing.collecting if role == "source" else timing.receptive
            found = site_windows(table, here, reference, timing.scout_days_before)
            windows[agent.name, role] = with_cautions(found, timing, here.latitude_deg, reference, dates)
        if HEAT_SUM in agent.climate.limits and timing.collecting.heat is not None:
            heat_sums[agent.name] = yearly_heat(timing.collecting.heat, here, reference)
    extremes = {host: yearly_extremes(here) for host, here in places.items()}
    return SiteTimes(windows, heat_sums, extremes)
