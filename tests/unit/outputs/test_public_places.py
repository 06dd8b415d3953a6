"""Records in public copies stand at their patches, on the map, in the layers and in the tables alike."""

import geopandas as gpd
import numpy as np
import pytest

from geo_scout.outputs.geo_layers import build_layers
from geo_scout.outputs.map.places import records
from geo_scout.outputs.public_places import public_places
from geo_scout.outputs.records_tables import build_releases
from geo_scout.outputs.tables import build_tables


def test_no_public_output_shows_where_a_release_was_put(sample):
    layer = build_layers(sample, build_tables(sample, "public"), "public")["releases"]
    own = build_layers(sample, build_tables(sample, "crew"), "crew")["releases"]
    assert (layer["release_id"] == own["release_id"]).all()
    apart_m = layer.to_crs(sample.layers.crs).distance(own.to_crs(sample.layers.crs))
    assert (apart_m > 1.0).mean() > 0.9
    table = build_releases(sample, "public").set_index("release_id")
    for agent in sample.evidence:
        drawn = records(sample, agent, "public")["releases"]
        of_agent = layer[layer["agent"] == agent]
        assert drawn["longitude_deg"] == pytest.approx(of_agent.geometry.x.tolist(), abs=2e-6)
        assert drawn["latitude_deg"] == pytest.approx(of_agent.geometry.y.tolist(), abs=2e-6)
        listed = table.loc[of_agent["release_id"], "longitude_deg"]
        assert listed.tolist() == pytest.approx(of_agent.geometry.x.tolist(), abs=2e-6)


def test_outside_every_patch_a_place_is_rounded_to_a_hundredth_of_a_degree(sample):
    agent = next(iter(sample.evidence))
    there = gpd.GeoDataFrame(
        {"site_id": [""]}, geometry=gpd.points_from_xy([-109.51234], [47.17654]), crs=4326
    ).to_crs(sample.layers.crs)
    longitude_deg, latitude_deg, note = public_places(sample, agent, there)
    assert np.round([longitude_deg[0], latitude_deg[0]], 9).tolist() == [-109.51, 47.18]
    assert note.tolist() == ["rounded to 0.01 degrees"]


def test_no_public_layer_says_what_was_sprayed_or_who_looked(sample):
    layers = build_layers(sample, build_tables(sample, "public"), "public")
    texts = [
        str(value)
        for layer in layers.values()
        for name in layer.columns.drop("geometry")
        for value in layer[name].dropna().unique()
    ]
    private = ("herbicide", "mowing", "grazing", *sample.layers.vectors["visits"]["observer"].unique())
    assert not [text for text in texts if any(word and word in text for word in private)]
    assert not {"voucher", "permit", "observer", "lost_on"} & set(layers["releases"].columns)
