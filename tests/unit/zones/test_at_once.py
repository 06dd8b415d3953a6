"""Zones of several days read in one pass say what each day's own pass says."""

import numpy as np
import pandas as pd
import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.layers import read_layers
from geo_scout.pipeline.season_run import terrain_asked
from geo_scout.season import read_season, start_season
from geo_scout.sites import find_patches
from geo_scout.zones import collect_quantities, place_zones, put_together, read_zones


@pytest.fixture(scope="module")
def starter(tmp_path_factory):
    season = read_season(start_season(tmp_path_factory.mktemp("starter")))
    layers = read_layers(season)
    agent = season.agents[0]
    sites = find_patches(layers, season, agent.host)
    return season, layers, agent, sites, gather_evidence(sites, layers, season, agent)


def test_one_pass_for_many_days_is_many_passes(starter):
    season, layers, agent, sites, evidence = starter
    whole = place_zones({agent.host: sites}, {agent.name: evidence}, layers, season)
    moved = whole.iloc[:3].set_geometry(whole.geometry.iloc[:3].buffer(40))
    days = [whole, whole.iloc[2:], pd.concat([moved, whole.iloc[4:]])]
    together = put_together(days)
    assert len(together.zones) == len(whole) + 3
    asked, climate = terrain_asked(season), season.settings.climate
    table = read_zones(layers.rasters, together.zones, asked, climate)
    for number, zones in enumerate(days):
        alone, told = read_zones(layers.rasters, zones, asked, climate), together.of_day(table, number)
        for name in ("mean", "valid_share", "monthly", "correction", "cell_monthly"):
            pd.testing.assert_frame_equal(getattr(told, name), getattr(alone, name), rtol=1e-12)
        cells, own = (one.cells_touched(np.arange(len(zones))) for one in (told, alone))
        key = list(own.columns)
        np.testing.assert_allclose(
            cells.sort_values(key).to_numpy(), own.sort_values(key).to_numpy(), rtol=1e-12
        )


def test_the_quantities_of_a_day_are_the_same(starter):
    season, layers, agent, sites, evidence = starter
    whole = place_zones({agent.host: sites}, {agent.name: evidence}, layers, season)
    together = put_together([whole.iloc[:1], whole])
    table = read_zones(layers.rasters, together.zones, terrain_asked(season), season.settings.climate)
    of_day = collect_quantities(agent, season, sites, evidence, together.of_day(table, 1))
    alone = read_zones(layers.rasters, whole, terrain_asked(season), season.settings.climate)
    own = collect_quantities(agent, season, sites, evidence, alone)
    assert of_day.keys() == own.keys()
    for name in ("site_climate", "elevation_m", "slope_deg", "population_climate"):
        np.testing.assert_allclose(of_day[name], own[name], rtol=1e-12)
