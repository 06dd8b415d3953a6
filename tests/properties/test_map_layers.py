"""Water and places are for the map only: whatever they hold, no table of a season changes."""

from pathlib import Path

import geopandas as gpd
import pandas as pd
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import geo_scout
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.tables import build_tables
from geo_scout.season.starter import start_season

# The starter season lies on three kilometres around here; some of what is drawn lies on its patches, some far off.
WEST, SOUTH, WIDE = -109.67, 47.115, 0.05
LAYERS = '\n[layers.water]\npath = "water.gpkg"\n\n[layers.places]\npath = "places.gpkg"\n'

near = st.tuples(st.floats(WEST, WEST + WIDE), st.floats(SOUTH, SOUTH + WIDE))
far = st.tuples(st.floats(-170.0, 170.0), st.floats(-70.0, 70.0))
streams = st.lists(near, min_size=2, max_size=6).map(shapely.LineString)
lakes = st.lists(near, min_size=3, max_size=8).map(shapely.Polygon)
names = st.text(st.characters(blacklist_categories=["Cs", "Cc"]), max_size=30)
places = st.lists(st.tuples(st.one_of(near, far), names), min_size=1, max_size=12)


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return start_season(tmp_path_factory.mktemp("starter"))


@pytest.fixture(scope="module")
def without(starter: Path) -> SeasonResult:
    return geo_scout.run(starter, write=False)


def tables_of(result: SeasonResult) -> dict[str, pd.DataFrame]:
    """Return everything a season says of its sites, by what it is."""
    told = {f"{audience} {role}": table for audience in ("crew", "board", "public")
            for role, table in build_tables(result, audience).items()}  # fmt: skip
    for one in result.rankings:
        told[f"ranking {one.agent} {one.role}"] = one.table
    for one in result.scouting:
        told[f"scouting {one.agent} {one.role}"] = one.table
    return told


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(water=st.lists(st.one_of(streams, lakes), min_size=1, max_size=6), named=places)
def test_water_and_places_change_no_table(
    starter: Path,
    without: SeasonResult,
    water: list[shapely.Geometry],
    named: list[tuple[tuple[float, float], str]],
) -> None:
    folder = starter.parent
    gpd.GeoDataFrame(geometry=water, crs=4326).to_file(folder / "water.gpkg")
    points = [shapely.Point(at) for at, _ in named]
    gpd.GeoDataFrame({"name": [name for _, name in named]}, geometry=points, crs=4326).to_file(
        folder / "places.gpkg"
    )
    season = folder / "with_both.toml"
    text = starter.read_text(encoding="utf-8").replace("[[crews]]", f"{LAYERS}\n[[crews]]", 1)
    season.write_text(text.replace("[rules]", "[rules]\nmax_bad_share = 1.0", 1), encoding="utf-8")
    result = geo_scout.run(season, write=False)
    assert {"water", "places"} <= set(result.layers.vectors)
    other = tables_of(without)
    for name, table in tables_of(result).items():
        pd.testing.assert_frame_equal(table, other[name])
    of_map = ("water", "places")
    assert [one for one in result.findings if one.layer not in of_map] == [*without.findings]
