"""136 counties of Virginia, published twice in libpysal: in degrees, and as another GIS put them into UTM.

libpysal 4.14.1, examples/virginia/virginia.shp (EPSG:4326) and vautm17n.shp (EPSG:32617). Read as two layers of
one season, both must lie on the same ground, to 3 mm east and north: the published pair itself differs from
pyproj's UTM by up to 2.6 mm along an axis (3.5 mm as a distance). A mistaken datum would show as 200 m.
"""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.layers import read_layers
from tests.reading_seasons import packaged, season_of

FOLDER = "libpysal/examples/virginia"
SAME_M = 0.003


@pytest.fixture
def pair():
    return (
        packaged("libpysal", f"{FOLDER}/virginia.shp", "f5d14f9c9b8a0341"),
        packaged("libpysal", f"{FOLDER}/vautm17n.shp", "da3a5dabdbcbafef"),
    )


@pytest.fixture
def layers(pair, tmp_path):
    degrees, metres = pair
    columns = {"district": "NAME", "jurisdiction": "STATE_NAME"}
    infestations = {"path": str(degrees), "columns": {"host": "STATE_NAME", "name": "NAME"}}
    season = season_of(
        tmp_path,
        {
            "infestations": infestations,
            "boundaries": {"path": str(metres), "columns": columns},
        },
        hosts=("Virginia",),
    )
    return read_layers(season)


def test_every_vertex_lies_on_the_same_ground(layers):
    degrees, metres = layers.vectors["infestations"], layers.vectors["boundaries"]
    assert len(degrees) == len(metres) == 136
    assert degrees["name"].tolist() == metres["district"].tolist()
    apart = shapely.get_coordinates(degrees.geometry.to_numpy()) - shapely.get_coordinates(
        metres.geometry.to_numpy()
    )
    assert np.abs(apart).max() < SAME_M


def test_both_are_what_geopandas_reads(layers, pair):
    for name, path in zip(("infestations", "boundaries"), pair, strict=True):
        plain = gpd.read_file(path).to_crs(layers.crs)
        ours = layers.vectors[name].geometry.to_numpy()
        # The same library moves the same numbers; only the last bits may differ.
        assert shapely.equals_exact(ours, plain.geometry.to_numpy(), 1e-6).all()


def test_nothing_is_said_of_the_datum(layers):
    assert {finding.code for finding in layers.findings} & {
        "datum-shift",
        "missing-crs",
        "position-lost",
    } == set()
