"""Water and places on the map: geometry for folium, names in the data, and nothing of either where it must not be."""

import json
import re
from collections.abc import Callable
from dataclasses import replace

import geopandas as gpd
import pytest
import shapely
from pyproj import Transformer

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.base_layers import LAKE_STYLE, ROAD_STYLE, STREAM_STYLE
from geo_scout.outputs.map.places import named_places
from geo_scout.outputs.map.shapes import lines_and_areas
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.tables import build_tables

NAMES = ["Wick Ford", "Tarn Pass", "Moss Top"]
MANAGER = "Orra Grazing Group"


def _page(season: SeasonResult, audience: Audience = "crew") -> str:
    return build_page(season, build_tables(season, audience), audience)


def _data(page: str) -> dict[str, object]:
    found = re.search(r'<script type="application/json" id="season-data">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    return json.loads(found.group(1))


def _with(season: SeasonResult, **vectors: gpd.GeoDataFrame | None) -> SeasonResult:
    changed = {**season.layers.vectors, **vectors}
    kept = {name: frame for name, frame in changed.items() if frame is not None}
    return replace(season, layers=replace(season.layers, vectors=kept))


def _named(season: SeasonResult, names: list[str]) -> SeasonResult:
    points = [shapely.Point(1000 * number, 0) for number in range(len(names))]
    return _with(season, places=gpd.GeoDataFrame({"name": names}, geometry=points, crs=season.layers.crs))


def test_places_are_told_in_the_order_of_their_layer(season: SeasonResult) -> None:
    told = _data(_page(season))["places"]
    assert list(told) == ["name", "longitude_deg", "latitude_deg"]
    assert told["name"] == NAMES


def test_places_lie_where_their_layer_has_them(season: SeasonResult) -> None:
    told = named_places(season, "crew")
    to_degrees = Transformer.from_crs(season.layers.crs, "EPSG:4326", always_xy=True)
    for number, point in enumerate(season.layers.vectors["places"].geometry):
        there = to_degrees.transform(point.x, point.y)
        assert (told["longitude_deg"][number], told["latitude_deg"][number]) == pytest.approx(there, abs=1e-6)


@pytest.mark.parametrize("audience", ["crew", "board", "public"])
def test_every_audience_reads_the_places_and_sees_the_water(season: SeasonResult, audience: Audience) -> None:
    page = _page(season, audience)
    assert _data(page)["places"]["name"] == NAMES
    assert "geo_json_water" in page


def test_a_place_called_like_a_manager_is_not_for_the_public(season: SeasonResult) -> None:
    made = _named(season, ["Wick Ford", f"{MANAGER} yard", "Tarn Pass"])
    assert len(named_places(made, "crew")["name"]) == 3
    assert named_places(made, "public")["name"] == ["Wick Ford", "Tarn Pass"]
    assert len(named_places(made, "public")["latitude_deg"]) == 2
    assert MANAGER not in _page(made, "public")


def test_hidden_letters_of_a_name_are_written_out(season: SeasonResult) -> None:
    assert named_places(_named(season, ["gate\u202ekcab"]), "crew")["name"] == ["gate\\u202Ekcab"]


@pytest.mark.parametrize("names", [None, []])
def test_a_season_without_places_has_none(season: SeasonResult, names: list[str] | None) -> None:
    made = _with(season, places=None) if names is None else _named(season, names)
    assert named_places(made, "crew") == {}
    assert _data(_page(made))["places"] == {}


def test_no_name_of_a_place_reaches_folium(make_season: Callable[..., SeasonResult]) -> None:
    page = _page(_named(make_season(3, relief_px=0), ["{{ 7 * 191 }}"]))
    assert "1337" not in page
    assert _data(page)["places"]["name"] == ["{{ 7 * 191 }}"]


def test_streams_and_lakes_are_two_features_without_attributes() -> None:
    frame = gpd.GeoDataFrame(
        {"name": ["Orrin Creek", "Tarn", "Fork"]},
        geometry=[
            shapely.LineString([(0, 0), (1, 1)]),
            shapely.box(2, 2, 3, 3),
            shapely.LineString([(0, 1), (1, 0)]),
        ],
        crs=4326,
    )
    found = lines_and_areas(frame)
    assert found is not None
    assert [one["geometry"]["type"] for one in found["features"]] == ["MultiLineString", "MultiPolygon"]
    assert [one["properties"] for one in found["features"]] == [{}, {}]
    assert "Orrin" not in str(found)


def test_water_of_one_kind_is_one_feature() -> None:
    lake = gpd.GeoDataFrame(geometry=[shapely.box(2, 2, 3, 3)], crs=4326)
    found = lines_and_areas(lake)
    assert found is not None
    assert [one["geometry"]["type"] for one in found["features"]] == ["MultiPolygon"]
    assert lines_and_areas(lake.iloc[:0]) is None


def test_water_is_drawn_under_roads_and_districts(season: SeasonResult) -> None:
    page = _page(season)
    at = {name: page.index(f"var geo_json_{name} =") for name in ("water", "districts", "roads")}
    assert at["water"] < min(at["districts"], at["roads"])
    assert _data(page)["base_layers"].index("water") < _data(page)["base_layers"].index("roads")


def test_lakes_are_filled_and_streams_are_not(season: SeasonResult) -> None:
    assert not STREAM_STYLE["fill"]
    assert LAKE_STYLE["fill"]
    assert 0.0 < float(LAKE_STYLE["fillOpacity"]) <= 0.3
    script = _page(season).split("var geo_json_water =")[0].rpartition("function geo_json_water_styler")[2]
    assert '"fillOpacity": 0.25' in script
    assert '"weight": 2.6' in script


def _lightness(colour: str) -> float:
    """Return relative luminance as WCAG 2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return sum(share * one for share, one in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_streams_and_roads_differ_without_colour() -> None:
    assert float(STREAM_STYLE["weight"]) >= 1.5 * float(ROAD_STYLE["weight"])
    assert _lightness(str(STREAM_STYLE["color"])) > 1.3 * _lightness(str(ROAD_STYLE["color"]))
