"""A season on both sides of the 180th meridian: everything folium draws lies in one frame of longitude."""

import dataclasses
import json
import re
from typing import Any

import geopandas as gpd
import numpy as np
import pytest
import shapely
from affine import Affine

from geo_scout.model.result import SeasonResult
from geo_scout.model.zones import ReliefGrid
from geo_scout.outputs.map.ground_layers import beside
from geo_scout.outputs.map.packing import packed_outlines
from geo_scout.outputs.map.places import PACKED_TOLERANCE_DEG, packed_patches
from geo_scout.outputs.map.relief_tiles import relief_tiles
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.relief import draw_relief, shaded_pixels
from geo_scout.outputs.tables import build_tables
from tests.season_across_180 import season_across_180

WEST_DEG, EAST_DEG = 179.5, 180.5  # 31 km to either side at 46 N are 0.4 degrees


@pytest.fixture(scope="module")
def across() -> SeasonResult:
    return season_across_180()


@pytest.fixture(scope="module")
def page(across: SeasonResult) -> str:
    return build_page(across, build_tables(across, "crew"), "crew")


def _data(page: str) -> dict[str, Any]:
    found = re.search(r'id="season-data">(.*?)</script>', page, flags=re.DOTALL)
    assert found is not None
    data: dict[str, Any] = json.loads(found[1])
    return data


def _longitudes(geometry: dict[str, Any]) -> np.ndarray:
    return shapely.get_coordinates(shapely.geometry.shape(geometry))[:, 0]


def test_the_map_opens_in_the_middle_of_the_sites(page: str) -> None:
    found = re.search(r"\{center: \[([\d.-]+), ([\d.-]+)\]", page)
    assert found is not None
    assert float(found[2]) % 360 == pytest.approx(180.0, abs=0.3)


def test_lines_and_areas_of_the_base_lie_in_one_frame(page: str) -> None:
    collections = re.findall(r"_add\((\{.*\})\);", page)
    drawn = [json.loads(text) for text in collections]
    geometries = [feature["geometry"] for one in drawn for feature in one["features"]]
    longitudes = [_longitudes(one) for one in geometries if one.get("coordinates") != []]
    assert len(longitudes) >= 5  # water twice, land twice, districts, roads
    together = np.concatenate(longitudes)
    assert WEST_DEG < together.min() < 180.0 < together.max() < EAST_DEG


def test_the_relief_and_its_contours_lie_in_the_same_frame(page: str) -> None:
    found = re.search(
        r"L\.imageOverlay\(.*?,\s*\[\[(.*?), (.*?)\], \[(.*?), (.*?)\]\]", page, flags=re.DOTALL
    )
    assert found is not None
    assert WEST_DEG < float(found[2]) < 180.0 < float(found[4]) < EAST_DEG
    contours = _data(page)["contours"]
    lines = [np.cumsum(line[::2]) for level in contours["levels"] for line in level["lines"]]
    longitude_deg = np.concatenate(lines) * contours["step_deg"]
    assert WEST_DEG < longitude_deg.min() < 180.0 < longitude_deg.max() < EAST_DEG


def test_the_data_keep_longitudes_as_the_tables_have_them(across: SeasonResult, page: str) -> None:
    tables = build_tables(across, "crew")
    for ranking in _data(page)["rankings"]:
        table = tables[ranking["role"]]
        table = table[table["agent"] == ranking["agent"]]
        assert ranking["columns"]["longitude_deg"] == table["longitude_deg"].tolist()
        assert table["longitude_deg"].min() < -179
        assert table["longitude_deg"].max() > 179


def test_a_relief_is_moved_by_whole_turns_and_not_at_all_where_it_is_near(across: SeasonResult) -> None:
    relief = across.relief
    assert relief is not None
    assert beside(relief, 179.0) is relief
    moved = beside(relief, -179.0)
    west_deg, east_deg = draw_relief(relief).west_deg, draw_relief(relief).east_deg
    picture = draw_relief(moved)
    assert (picture.west_deg, picture.east_deg) == pytest.approx((west_deg - 360, east_deg - 360), abs=1e-9)


@pytest.mark.parametrize("centre_deg", [180.0, -180.0])
def test_tiles_go_on_beyond_the_edge_of_the_world(centre_deg: float) -> None:
    zoom = 16
    pixel_m = 2 * np.pi * 6_378_137.0 / 256 / 2**zoom
    cells = np.tile(np.linspace(100, 900, 2200, dtype="float32"), (300, 1))
    west_m = (2**zoom * 256 / 2 - 1100) * pixel_m
    placed = beside(ReliefGrid(cells, Affine(pixel_m, 0, west_m, 0, -pixel_m, 5_780_000.0), zoom), centre_deg)
    tiles = relief_tiles(placed, shaded_pixels(placed))
    assert tiles is not None
    columns = {int(name.split("/")[1]) for name in tiles.pictures if name.startswith(f"{zoom}/")}
    first = 2**zoom if centre_deg > 0 else 0  # the first tile beyond the line
    assert columns == set(range(first - 5, first + 5))


def test_a_large_season_packs_a_patch_across_the_line_in_one_piece(across: SeasonResult) -> None:
    torn = shapely.Polygon(
        [(179.99, 46.0), (-179.98, 46.0), (-179.98, 46.01), (-179.99, 46.010001), (179.99, 46.01)]
    )
    whole = shapely.Polygon(
        [(179.99, 46.0), (180.02, 46.0), (180.02, 46.01), (180.01, 46.010001), (179.99, 46.01)]
    )
    frame = gpd.GeoDataFrame({"site_id": ["X-1"]}, geometry=[torn], crs=4326)
    found = packed_patches(dataclasses.replace(next(iter(across.sites.values())), patches=frame))
    assert found["polygons"] == packed_outlines(np.array([whole], dtype=object), PACKED_TOLERANCE_DEG)
