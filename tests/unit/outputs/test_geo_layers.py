import pytest
import shapely

from geo_scout.outputs.geo_layers import build_layers
from geo_scout.outputs.tables import build_tables


@pytest.fixture(scope="module")
def layers(sample):
    return build_layers(sample, build_tables(sample, "crew"), "crew")


def test_all_layers_are_in_longitude_and_latitude(layers):
    for name, layer in layers.items():
        assert layer.crs == "EPSG:4326", name
        west, south, east, north = layer.total_bounds
        assert -110.5 < west <= east < -108.5, name
        assert 46.5 < south <= north < 48, name


def test_each_row_has_its_own_patch(layers):
    for name in ("release_sites", "sources"):
        layer = layers[name]
        points = shapely.points(layer["longitude_deg"], layer["latitude_deg"])
        # Printed coordinates are rounded to 1e-6 deg.
        assert shapely.distance(layer.geometry.to_numpy(), points).max() < 1e-6


def test_patch_areas_survive(layers, sample):
    patches = layers["patches"].to_crs(sample.layers.crs)
    # Outlines are drawn from the same vertices; only the printed hectares are rounded to 4 decimals.
    assert (patches.area / 10_000 - patches["gross_ha"]).abs().max() < 1e-4


def test_public_layers_leave_out_bases_findings_and_permits(sample):
    public = build_layers(sample, build_tables(sample, "public"), "public")
    assert not {"crew_bases", "findings"} & set(public)
    assert "permit" not in public["releases"]
    assert "observer" not in public["visits"]
