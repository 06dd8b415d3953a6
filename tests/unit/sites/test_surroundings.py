"""Crews, land and treatments around patches, by hand and against geographiclib."""

import math

import geopandas as gpd
import pandas as pd
import pytest
import shapely
from geographiclib.geodesic import Geodesic

from geo_scout.model.season import CrewTable
from geo_scout.sites.surroundings import add_surroundings, overlap_land, overlap_required, overlap_treatments

RULES = {"land_classes": {"crop": "forbid", "Reserve": "ask", "pasture": "prefer", "meadow": "prefer"}}


@pytest.fixture
def patches(frames):
    """Return two patches: A-1 from 0 to 100 m, A-2 from 1,000 to 1,100 m."""
    return gpd.GeoDataFrame(
        {"site_id": ["A-1", "A-2"]}, geometry=[frames.square(0), frames.square(1000)], crs=frames.PLANE
    )


@pytest.fixture
def land(frames, patches):
    def run(*rows, **rules):
        classes = frames.layer("land_classes", [frames.row(shape, **{"class": name}) for shape, name in rows])
        overlaps = overlap_land(patches, classes, frames.season(rules=RULES | rules).rules)
        return overlaps.round(9).to_numpy().tolist()

    return run


def test_shares_by_class_with_the_seasons_rule_for_each(frames, land):
    strips = [(w, name) for w, name in ((0, "crop"), (25, " RESERVE "), (35, "pasture"), (85, "water"))]
    widths = {"crop": 25, " RESERVE ": 10, "pasture": 50, "water": 15}
    rows = [(shapely.box(w, -10, w + widths[name], 110), name) for w, name in strips]
    assert land(*rows) == [
        ["A-1", " RESERVE ", "ask", 0.1],
        ["A-1", "crop", "forbid", 0.25],
        ["A-1", "pasture", "prefer", 0.5],
        ["A-1", "water", "", 0.15],
    ]


def test_the_buffer_widens_forbidden_land_only(frames, land):
    field, reserve = shapely.box(-200, -500, 0, 600), shapely.box(1100, -500, 1200, 600)
    assert land((field, "crop"), (reserve, "reserve")) == []  # both touch an edge
    # The field's edge lies along the patch's western side: 20 m of 100.
    assert land((field, "crop"), (reserve, "reserve"), buffer_m=20.0) == [["A-1", "crop", "forbid", 0.2]]


def test_the_buffer_around_a_point_like_field_is_a_circle(frames, land):
    hut = shapely.Point(50, 50).buffer(0.001)
    [[_, _, _, share]] = land((hut, "crop"), buffer_m=30.0)
    assert share == pytest.approx(math.pi * 30**2 / 1e4, rel=0.002)  # drawn with 16 corners in a quarter


def test_overlapping_shapes_of_one_class_count_once(frames, land):
    assert land((shapely.box(0, 0, 60, 100), "crop"), (shapely.box(40, 0, 80, 100), "crop")) == [
        ["A-1", "crop", "forbid", 0.8]
    ]


def test_a_patch_wholly_inside_has_share_one_and_holes_do_not_count(frames, land):
    field = frames.square(-500, -500, 5000)
    assert land((field, "crop")) == [["A-1", "crop", "forbid", 1.0], ["A-2", "crop", "forbid", 1.0]]
    with_hole = field.difference(shapely.box(0, 0, 50, 100))
    assert land((with_hole, "crop")) == [["A-1", "crop", "forbid", 0.5], ["A-2", "crop", "forbid", 1.0]]


def test_no_land_layer_no_shape_no_patch(frames, patches, land):
    season = frames.season(rules=RULES)
    assert land() == []
    columns = ["site_id", "land_class", "rule", "share"]
    for frame in (None, frames.layer("land_classes", [])):
        table = overlap_land(patches, frame, season.rules)
        assert (len(table), list(table.columns), table["share"].dtype) == (0, columns, float)
    classes = frames.layer("land_classes", [frames.row(frames.square(0), **{"class": "crop"})])
    assert len(overlap_land(patches[:0], classes, season.rules)) == 0


def surroundings(frames, patches, crews=(("Base", -110.0, 47.0),), classes=None):
    season = frames.season(rules=RULES, crews=crews)
    return add_surroundings(patches, classes, season.rules, season.settings.crews)


def test_preferred_land_counts_once_where_two_preferred_classes_overlap(frames, patches):
    rows = [
        frames.row(shapely.box(0, 0, 60, 100), **{"class": "pasture"}),
        frames.row(shapely.box(40, 0, 80, 100), **{"class": "Meadow"}),
        frames.row(shapely.box(1000, 0, 1090, 100), **{"class": "reserve"}),
    ]
    found = surroundings(frames, patches, classes=frames.layer("land_classes", rows))
    assert found["preferred_land_pct"].tolist() == pytest.approx([80.0, 0.0])
    assert surroundings(frames, patches)["preferred_land_pct"].tolist() == [0.0, 0.0]
    assert surroundings(frames, patches)["forbidden_land_share"].tolist() == [0.0, 0.0]


def test_the_nearest_crew_is_measured_edge_to_edge_on_the_ellipsoid(frames, patches):
    # 0.3 deg east of A-2; A-1 is nearer to the base in the west.
    crews = [("East", -109.7, 47.0), ("West", -110.2, 47.0)]
    found = surroundings(frames, patches, crews)
    assert found["crew"].tolist() == ["West", "West"]
    for patch, corner_m in ((0, (0, 0)), (1, (1000, 0))):
        longitude_deg, latitude_deg = frames.degrees(*corner_m)
        line = Geodesic.WGS84.Inverse(latitude_deg, longitude_deg, 47.0, -110.2)
        # The base lies 13 m off the row of corners, so the edge is reached a little above the corner.
        assert found["crew_distance_km"][patch] == pytest.approx(line["s12"] / 1000, abs=2e-5)
    further_west = surroundings(frames, patches, [("East", -109.81, 47.0), ("West", -110.2, 47.0)])
    assert further_west["crew"].tolist() == ["East", "East"]


def test_a_base_inside_the_patch_is_at_0_km_and_longitudes_may_count_to_360(frames, patches):
    longitude_deg, latitude_deg = frames.degrees(1050, 50)
    for turn in (0.0, 360.0):
        found = surroundings(frames, patches, [("Camp", longitude_deg + turn, latitude_deg)])
        assert found["crew_distance_km"][1] == 0.0
        assert found["crew_distance_km"][0] == pytest.approx(0.95, rel=1e-4)


def test_equally_near_bases_go_by_their_order(frames, patches):
    crews = [
        CrewTable(name=n, base_longitude_deg=-110.0, base_latitude_deg=47.0) for n in ("First", "Second")
    ]
    rules = frames.season().rules
    assert add_surroundings(patches, None, rules, crews)["crew"].tolist() == ["First", "First"]
    assert add_surroundings(patches[:0], None, rules, crews)["crew"].tolist() == []


def test_each_treatment_is_a_row_with_its_share_kind_and_days(frames, patches):
    rows = [
        frames.row(shapely.box(50, 0, 1050, 100), treatment_id="T2", kind="herbicide", start="2026-04-01"),
        frames.row(frames.square(0), treatment_id="T1", kind="mowing", start="2026-05-01", end="2026-06-01"),
        frames.row(frames.square(5000), treatment_id="T3", kind="mowing", start="2026-05-01"),
    ]
    found = overlap_treatments(patches, frames.layer("treatments", rows))
    day = pd.Timestamp
    assert found.to_numpy().tolist() == [
        ["A-1", "T2", "herbicide", day("2026-04-01"), day("2026-04-01"), 0.5],
        ["A-1", "T1", "mowing", day("2026-05-01"), day("2026-06-01"), 1.0],
        ["A-2", "T2", "herbicide", day("2026-04-01"), day("2026-04-01"), 0.5],
    ]


def test_no_treatment_layer_no_treatment_no_patch(frames, patches):
    columns = ["site_id", "treatment_id", "kind", "start", "end", "share"]
    rows = [frames.row(frames.square(0), treatment_id="T", kind="mowing", start="2026-05-01")]
    for table in (
        overlap_treatments(patches, None),
        overlap_treatments(patches, frames.layer("treatments", [])),
        overlap_treatments(patches[:0], frames.layer("treatments", rows)),
    ):
        assert (len(table), list(table.columns), table["share"].dtype) == (0, columns, float)


def test_each_required_layer_has_its_share_of_each_patch(frames, patches):
    surveyed = frames.layer("surveyed_areas", [frames.row(frames.square(w)) for w in (-60, -20, 1000)])
    bounds = frames.layer("boundaries", [frames.row(frames.square(-500, -500, 1000), district="D")])
    found = overlap_required(patches, {"surveyed_areas": surveyed, "boundaries": bounds}).round(9)
    assert sorted(found.to_numpy().tolist()) == [
        ["A-1", "boundaries", 1.0],
        ["A-1", "surveyed_areas", 0.8],  # two surveys over each other, 40 and 80 m wide
        ["A-2", "surveyed_areas", 1.0],
    ]
    for layers in ({}, {"boundaries": frames.layer("boundaries", [])}):
        empty = overlap_required(patches, layers)
        assert (len(empty), list(empty.columns)) == (0, ["site_id", "layer", "share"])
