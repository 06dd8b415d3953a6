import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import CRS, Transformer

from geo_scout.formulas.side_by_side import FEW, in_parts
from geo_scout.layers.places.moving import moved
from geo_scout.layers.places.outlines import surely_valid

TARGET = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84")


def to_target():
    return Transformer.from_crs(4326, TARGET, always_xy=True)


def squares(number):
    west, south = np.random.default_rng(5).uniform((-111, 46), (-109, 48), (number, 2)).T
    return shapely.box(west, south, west + 0.001, south + 0.001)


@pytest.mark.parametrize(
    "shapes",
    [
        squares(FEW + 7),
        squares(3),
        np.array([shapely.Point(-110, 47), shapely.LineString([(-110, 47), (-109, 47)])], dtype=object),
        np.array(
            [
                shapely.box(-110, 47, -109, 48) - shapely.box(-109.6, 47.4, -109.5, 47.5),
                shapely.box(-110, 46, -109, 47),
            ],
            dtype=object,
        ),
        np.array([shapely.MultiPolygon(squares(2).tolist()), squares(1)[0]], dtype=object),
        np.array([], dtype=object),
    ],
    ids=["many", "few", "points and lines", "a hole", "several parts", "none"],
)
def test_vertices_are_where_geopandas_puts_them(shapes):
    there, is_valid = moved(shapes, to_target)
    plain = gpd.GeoSeries(list(shapes), crs=4326).to_crs(TARGET).to_numpy()
    assert shapely.equals_exact(there, plain, 0.0).all()
    assert is_valid.tolist() == shapely.is_valid(plain).tolist()


def test_invalid_outlines_are_told_as_shapely_tells_them():
    bow_tie = shapely.Polygon([(-110, 47), (-109.9, 47.1), (-109.9, 47), (-110, 47.1)])
    shapes = squares(FEW)
    shapes[[3, FEW - 1]] = bow_tie
    _, is_valid = moved(shapes, to_target)
    assert np.flatnonzero(~is_valid).tolist() == [3, FEW - 1]


def rings(number, kind):
    """Return random closed rings, (number, vertices, 2), few or many of which cross themselves."""
    generator = np.random.default_rng(17)
    corners = generator.integers(4, 12)
    turns = np.sort(generator.uniform(0, 2 * np.pi, (number, corners)), axis=1)
    if kind == "twice around":
        turns = np.tile(np.linspace(0, 4 * np.pi, corners, endpoint=False), (number, 1))
    radii = generator.uniform(0.2, 1.0, (number, corners))
    at = radii[:, :, None] * np.stack([np.cos(turns), np.sin(turns)], axis=2)
    if kind == "any order":
        at = generator.uniform(-1, 1, (number, corners, 2))
    if kind == "backwards":
        at = at[:, ::-1]
    if kind == "with a vertex twice":
        at[:, 1] = at[:, 0]
    closed = np.concatenate([at, at[:, :1]], axis=1)
    return closed * 300.0 + np.array([4e5, 5.2e6])


@pytest.mark.parametrize("kind", ["around", "backwards", "twice around", "any order", "with a vertex twice"])
def test_what_is_sure_to_be_valid_is_valid(kind):
    closed = rings(3_000, kind)
    number, size, _ = closed.shape
    sure = surely_valid(closed.reshape(-1, 2), np.arange(number + 1) * size)
    valid = shapely.is_valid(shapely.polygons(closed))
    assert not (sure & ~valid).any()
    if kind in {"around", "backwards"}:
        # It is of use only where it settles most of them.
        assert sure.sum() > 0.3 * valid.sum()
    if kind in {"twice around", "with a vertex twice"}:
        assert not sure.any()


def test_parts_come_back_in_order():
    items = np.arange(3 * FEW)
    assert np.concatenate(in_parts(lambda part: part + 1, items)).tolist() == (items + 1).tolist()
    assert len(in_parts(len, items[:5])) == 1
