"""GeoJSON against GDAL's own, and against RFC 7946 where GDAL has no say."""

import datetime as dt
import json

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import pytest
import shapely
from geojson_pydantic import FeatureCollection

from geo_scout.outputs.geojson import geojson_text


def blob(longitude_deg, latitude_deg, seed):
    rng = np.random.default_rng(seed)
    turns = np.sort(rng.uniform(0, 2 * np.pi, 30))
    reach = rng.uniform(0.5, 1, 30) / 100
    return shapely.Polygon(
        np.column_stack([longitude_deg + reach * np.cos(turns), latitude_deg + reach * np.sin(turns)])
    )


def layer():
    hole = shapely.Polygon([(0, 0), (0, 4), (4, 4), (4, 0)], [[(1, 1), (2, 1), (2, 2), (1, 2)]])  # clockwise
    shapes = [
        blob(-110, 46, 1),
        shapely.MultiPolygon([blob(-110, 46, 2), hole]),
        None,
        shapely.Point(-110.123456789, 46),
    ]
    return gpd.GeoDataFrame(
        {
            "rank": pd.array([1, None, 2, 3], dtype="Int64"),
            "name": ['Mill "old" verge', "Bäch\nline", "", None],
            "gross_ha": [1.5, float("nan"), 0.0001, 3.0],
            "is_new": [True, False, True, False],
            "count": [1, 2, 3, 4],
        },
        geometry=shapes,
        crs=4326,
    )


def test_it_says_what_gdal_says(tmp_path):
    path = tmp_path / "gdal.geojson"
    options = {"RFC7946": "YES", "COORDINATE_PRECISION": "7", "WRITE_NAME": "NO"}
    pyogrio.write_dataframe(layer(), path, driver="GeoJSON", layer_options=options)
    gdals, ours = json.loads(path.read_text(encoding="utf-8")), json.loads(geojson_text(layer()))
    assert [one["properties"] for one in ours["features"]] == [one["properties"] for one in gdals["features"]]
    for one, other in zip(ours["features"], gdals["features"], strict=True):
        if one["geometry"] is None or one["geometry"]["type"] == "Point":
            assert one["geometry"] == other["geometry"]
        else:
            assert one["geometry"]["type"] == other["geometry"]["type"]
            # Each library starts a ring it turns round where it likes.
            ours_shape, gdals_shape = (shapely.geometry.shape(each["geometry"]) for each in (one, other))
            assert shapely.equals_exact(shapely.normalize(ours_shape), shapely.normalize(gdals_shape), 0.0)


def test_the_standard_holds():
    collection = FeatureCollection.model_validate_json(geojson_text(layer()))
    assert len(collection.features) == 4
    rings = shapely.geometry.shape(json.loads(geojson_text(layer()))["features"][1]["geometry"]).geoms[1]
    assert shapely.is_ccw(rings.exterior)
    assert not shapely.is_ccw(rings.interiors[0])


def test_coordinates_have_seven_decimals():
    assert "[-110.1234568, 46.0]" in geojson_text(layer())
    outline = json.loads(geojson_text(layer()))["features"][0]["geometry"]["coordinates"][0]
    assert len(outline) == 31
    assert all(round(one, 7) == one for vertex in outline for one in vertex)


def test_names_and_texts_cannot_break_out():
    text = 'a "quote", a %s, a \\ and a line\nend'
    frame = gpd.GeoDataFrame({text: [text], "100%": [dt.date(2026, 11, 1)]}, geometry=[None], crs=4326)
    [feature] = json.loads(geojson_text(frame))["features"]
    assert feature["properties"] == {text: text, "100%": "2026-11-01"}


@pytest.mark.parametrize("columns", [["geometry"], ["name", "geometry"]])
def test_a_layer_without_rows_or_columns_is_a_collection(columns):
    assert json.loads(geojson_text(layer()[columns].iloc[:0])) == {
        "type": "FeatureCollection",
        "features": [],
    }
    assert len(json.loads(geojson_text(layer()[columns]))["features"]) == 4
