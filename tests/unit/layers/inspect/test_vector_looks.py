import geopandas as gpd
import pytest
import shapely
from pyproj import Geod

from geo_scout.layers.inspect import vector_looks
from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.vector_looks import read_vector_file

BOX = shapely.box(-109.6, 47.0, -109.5, 47.1)


def look(path, shapes, crs="EPSG:4326", **columns):
    gpd.GeoDataFrame(columns or {"id": range(len(shapes))}, geometry=shapes, crs=crs).to_file(
        path, engine="pyogrio"
    )
    (found,) = read_vector_file(path)
    return found


def test_shapes_places_and_areas_are_measured(tmp_path):
    found = look(tmp_path / "a.gpkg", [BOX, shapely.Point(-109.2, 47.3)])
    assert (found.shapes, found.points, found.rows, found.crs, found.layer) == (
        "polygons and points",
        1,
        2,
        "EPSG:4326",
        "",
    )
    assert found.middles_deg[0] == pytest.approx((-109.55, 47.05))
    # The geodesic area is another route to the same ground.
    geodesic_m2 = abs(Geod(ellps="WGS84").geometry_area_perimeter(BOX)[0])
    assert found.area_m2[0] == pytest.approx(geodesic_m2, rel=1e-3)
    assert found.area_m2[1] == 0.0


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (shapely.LineString([(-109.6, 47.0), (-109.5, 47.1)]), "lines"),
        (shapely.MultiPolygon([BOX]), "polygons"),
        (shapely.MultiPoint([(-109.6, 47.0)]), "points"),
        (shapely.GeometryCollection([BOX]), "mixed shapes"),
    ],
)
def test_every_kind_of_shape_has_a_word(tmp_path, shape, words):
    assert look(tmp_path / "a.gpkg", [shape]).shapes == words


def test_without_a_reference_system_nobody_knows_where_it_is(tmp_path):
    look(tmp_path / "a.shp", [BOX])
    (tmp_path / "a.prj").unlink()
    (found,) = read_vector_file(tmp_path / "a.shp")
    assert (found.crs, found.middles_deg, found.area_m2) == ("", (), ())
    assert found.bounds == (-109.6, 47.0, -109.5, 47.1)


def test_swapped_axes_are_looked_at_without_a_word(tmp_path):
    found = look(tmp_path / "a.gpkg", [shapely.box(47.0, -109.6, 47.1, -109.5)])
    assert found.area_m2 == (0.0,)


def test_only_the_first_rows_of_a_long_table_are_looked_at_and_that_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(vector_looks, "ROWS_AT_MOST", 2)
    found = look(tmp_path / "a.gpkg", [BOX] * 5, weed=["ashthorn"] * 5)
    assert (found.rows, len(found.columns[0].values)) == (5, 2)
    assert "the first 2 were looked at" in guess_layer("infestations", found).evidence


def test_each_layer_of_a_file_is_named_and_empty_ones_are_passed_over(tmp_path):
    path = tmp_path / "a.gpkg"
    for name, shapes in (("one", [BOX]), ("two", [BOX, BOX]), ("none", [])):
        frame = gpd.GeoDataFrame({"id": range(len(shapes))}, geometry=shapes, crs="EPSG:4326")
        frame.to_file(path, layer=name, engine="pyogrio")
    assert [(found.layer, found.rows) for found in read_vector_file(path)] == [("one", 1), ("two", 2)]
