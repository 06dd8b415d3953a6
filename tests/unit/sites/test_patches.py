"""Infestations to patches: squares of one hectare along a line, gaps counted edge to edge."""

import numpy as np
import pytest
import shapely
from pyproj import CRS

from geo_scout.formulas.geodesy import working_crs
from geo_scout.sites import find_patches


@pytest.fixture
def find(frames):
    """Return the patches of the host; rules by keyword."""

    def run(weeds, rules=None, season=None, crs=None, host=frames.HOST, **layers):
        set_of = frames.layers(crs or frames.PLANE, infestations=weeds, **layers)
        return find_patches(set_of, season or frames.season(rules=rules), host)

    return run


def line(frames, *wests_m, **given):
    """Return squares named K1, K2 ... with their western edges at these metres."""
    return [frames.row(frames.square(west), id=f"K{n}", **given) for n, west in enumerate(wests_m, 1)]


def members_of(sites):
    return dict(zip(sites.patches["site_id"], sites.patches["member_ids"], strict=True))


def test_a_chain_of_gaps_of_join_m_is_one_patch(frames, find):
    weeds = line(frames, 0, 200, 400)  # gaps of exactly 100 m
    assert members_of(find(weeds)) == {"ASHT-K1": "K1; K2; K3"}
    assert members_of(find(weeds, {"join_m": 99.9})) == {"ASHT-K1": "K1", "ASHT-K2": "K2", "ASHT-K3": "K3"}


@pytest.mark.parametrize("column", ["manager", "parcel"])
def test_managers_and_parcels_are_never_joined(frames, find, column):
    a, b, c = line(frames, 0, 100, 200)
    weeds = [a | {column: "Reed"}, b | {column: "Moss"}, c | {column: "Reed"}]
    # K1 and K3 are 100 m apart across the ground of another.
    assert members_of(find(weeds)) == {"ASHT-K1": "K1; K3", "ASHT-K2": "K2"}
    assert members_of(find(weeds, {"join_m": 99.0})) == {"ASHT-K1": "K1", "ASHT-K2": "K2", "ASHT-K3": "K3"}


def test_refused_ground_is_a_patch_of_its_own_and_other_answers_join(frames, find):
    a, b, c = line(frames, 0, 100, 200)
    weeds = [a | {"permission": "yes"}, b | {"permission": "no"}, c | {"permission": "unknown"}]
    sites = find(weeds)
    assert members_of(sites) == {"ASHT-K1": "K1; K3", "ASHT-K2": "K2"}
    assert sites.patches["permission"].tolist() == ["unknown", "no"]


def test_a_district_boundary_parts_a_patch_and_its_larger_piece_keeps_the_id(frames, find):
    districts = [
        frames.row(frames.square(-1000, -500, 1030), district="W", jurisdiction="Upper"),
        frames.row(frames.square(30, -500, 1000), district="E", jurisdiction="Lower"),
    ]
    sites = find(line(frames, 0), boundaries=districts)
    found = sites.patches[["site_id", "district", "jurisdiction", "gross_ha"]].round(9).to_numpy().tolist()
    assert found == [["ASHT-K1", "E", "Lower", 0.7], ["ASHT-K1.2", "W", "Upper", 0.3]]
    assert sites.members["member_id"].tolist() == ["K1", "K1"]


@pytest.mark.parametrize(("east", "numbers"), [(("W", "J"), 1), (("E", "J"), 2), (("W", "K"), 2)])
def test_district_and_jurisdiction_each_part_a_patch(frames, find, east, numbers):
    rows = [
        frames.row(frames.square(w, -500, 1000), district=d, jurisdiction=j)
        for w, (d, j) in ((-950, ("W", "J")), (50, east))
    ]
    assert len(find(line(frames, 0), boundaries=rows)) == numbers


def test_pieces_of_one_district_drawn_in_two_rows_join_again(frames, find):
    rows = [frames.row(frames.square(w, -500, 1000), district="D", jurisdiction="J") for w in (-950, 50)]
    sites = find(line(frames, 0), boundaries=rows)
    assert members_of(sites) == {"ASHT-K1": "K1"}
    assert sites.patches["gross_ha"].tolist() == pytest.approx([1.0])


def test_a_river_is_cut_to_the_cap_and_loses_no_ground(frames, find):
    river = shapely.LineString([(0, 0), (4000, 500), (8000, -500), (13000, 0)]).buffer(30)
    sites = find([frames.row(river, id="R")], {"max_patch_km": 3.0})
    west, south, east, north = sites.patches.bounds.to_numpy().T
    assert (np.hypot(east - west, north - south) <= 3000).all()
    assert sites.patches.area.sum() == pytest.approx(river.area, rel=1e-9)
    assert sites.patches.union_all().symmetric_difference(river).area < 1e-3
    # 13.06 km is halved three times; by falling area R, R.2 ... R.8
    assert sites.site_ids == ["ASHT-R", *(f"ASHT-R.{n}" for n in range(2, 9))]
    assert (np.diff(sites.patches["gross_ha"].round(6)) <= 0).all()


def test_a_cluster_cut_to_the_cap_keeps_its_members_whole(frames, find):
    weeds = line(frames, *range(0, 2000, 200))  # ten squares, 1.9 km, all within 100 m
    sites = find(weeds, {"max_patch_km": 1.0})
    assert members_of(sites) == {"ASHT-K1": "K1; K2; K3; K4; K5", "ASHT-K6": "K6; K7; K8; K9; K10"}
    assert len(sites.members) == 10


def test_ground_that_no_longer_hangs_together_after_the_cut_is_parted(frames, find):
    # A horseshoe of one infestation: the cut at 1,000 m leaves the bend west and two arms east, 800 m apart.
    horseshoe = shapely.box(0, 0, 2000, 1000).difference(shapely.box(100, 100, 2100, 900))
    sites = find([frames.row(horseshoe, id="H")], {"max_patch_km": 1.6})
    patches = sites.patches
    assert [patches.geometry[n].geom_type for n in range(3)] == ["Polygon"] * 3
    assert patches["gross_ha"].tolist() == pytest.approx([28.0, 10.0, 10.0])
    assert patches["gross_ha"].sum() == pytest.approx(horseshoe.area / 1e4)
    # Of the two equal arms the southern one comes first.
    assert patches.bounds["miny"].round(6).tolist() == [0.0, 0.0, 900.0]
    assert sites.site_ids == ["ASHT-H", "ASHT-H.2", "ASHT-H.3"]


def test_arms_within_join_m_of_each_other_stay_one_member_of_one_patch(frames, find):
    horseshoe = shapely.box(0, 0, 2000, 250).difference(shapely.box(100, 100, 2100, 150))
    sites = find([frames.row(horseshoe, id="H")], {"max_patch_km": 1.6})
    assert members_of(sites) == {"ASHT-H": "H", "ASHT-H.2": "H"}
    assert len(sites.members) == 2
    assert sites.patches.area.sum() == pytest.approx(horseshoe.area)


def test_a_far_feature_changes_neither_ids_nor_numbers_of_the_others(frames):
    """The working system moves its centre by degrees; ids by digest are among those that must stay."""
    east, north = frames.degrees(*np.array([[0, 0, 90, 5000, 9000], [0, 300, 0, 0, 0]]))
    shapes = [shapely.box(a, b, a + 0.0031, b + 0.0017) for a, b in zip(east, north, strict=True)]
    rows = [
        frames.row(shape, id=name, survey_date=date)
        for shape, name, date in zip(
            shapes,
            ["K2", "", "", "K10", ""],
            ["2020-05-01", "2021-05-01", "2022-05-01", None, None],
            strict=True,
        )
    ]
    river = shapely.LineString([(-109.9, 47.02), (-109.7, 47.05)]).buffer(0.0004)
    rows.append(frames.row(river, id="R"))
    far = frames.row(shapely.box(-105.0, 45.0, -104.99, 45.01), id="F")

    def patches(rows, plane):
        layers = frames.layers(plane, infestations=[])
        frame = frames.layer("infestations", rows, CRS.from_epsg(4326)).to_crs(plane)
        layers = type(layers)(crs=plane, vectors={"infestations": frame}, rasters={})
        return find_patches(layers, frames.season(rules={"max_patch_km": 4.0}), frames.HOST).patches

    before = patches(rows, working_crs(-110.0, 47.0))
    after = patches([far, *rows], working_crs(-108.0, 46.0))
    assert len(before) >= 8
    assert sorted([*before["site_id"], "ASHT-F"]) == after["site_id"].tolist()
    after = after[after["site_id"] != "ASHT-F"].reset_index(drop=True)
    same = [c for c in before if c not in {"geometry", "crew_distance_km"}]
    for column in same:
        if before[column].dtype == float:
            np.testing.assert_allclose(after[column], before[column], rtol=1e-4, err_msg=column)
        else:
            assert after[column].tolist() == before[column].tolist(), column


def test_the_order_of_rows_is_irrelevant(frames, find):
    weeds = line(frames, 0, 150, 700, 40, 5000, survey_date=None)
    dated = [weed | {"survey_date": f"20{n:02d}-01-01", "row": n} for n, weed in enumerate(weeds, 10)]
    one, other = find(dated), find(dated[::-1])
    assert one.patches.drop(columns="geometry").equals(other.patches.drop(columns="geometry"))
    assert one.patches.geometry.geom_equals(other.patches.geometry).all()


def test_ids_come_from_the_whole_outline_so_a_newer_survey_does_not_rename_a_patch(frames, find):
    weeds = [frames.row(frames.square(0), survey_date="2015-01-01")]
    trimmed = find(weeds, surveyed_areas=[frames.row(frames.square(70), survey_date="2020-01-01")])
    assert trimmed.site_ids == find(weeds).site_ids
    assert trimmed.patches["gross_ha"].tolist() == pytest.approx([0.7])


def test_a_survey_for_another_host_does_nothing_and_one_for_every_host_does(frames, find):
    weeds = line(frames, 0, survey_date="2015-01-01")
    survey = frames.row(frames.square(-50, -50, 1000), survey_date="2020-01-01", result="none found")
    assert len(find(weeds, surveyed_areas=[survey | {"host": "toadflax"}])) == 1
    gone = find(weeds, surveyed_areas=[survey | {"host": ""}])
    assert len(gone) == 0
    assert [finding.code for finding in gone.findings] == ["superseded"]


def test_other_weeds_are_other_sites(frames, find):
    weeds = [*line(frames, 0), frames.row(frames.square(50), id="T1", host="toadflax")]
    assert members_of(find(weeds)) == {"ASHT-K1": "K1"}
    season = frames.season(frames.agent(), frames.agent("gall midge", "toadflax", host_code="TF"))
    assert members_of(find(weeds, season=season, host="toadflax")) == {"TF-T1": "T1"}


def test_a_host_without_any_infestation_has_no_site(frames, find):
    everything = {
        name: []
        for name in (
            "surveyed_areas",
            "releases",
            "visits",
            "requests",
            "treatments",
            "land_classes",
            "boundaries",
        )
    }
    for sites in (find([]), find(line(frames, 0), host="absent"), find([], **everything)):
        assert len(sites) == 0
        assert sites.site_ids == []
        assert sites.patches.crs == frames.PLANE
        assert sites.members["site_id"].tolist() == []
        assert list(sites.land.columns) == ["site_id", "land_class", "rule", "share"]
    full, empty = find(line(frames, 0)).patches, find([]).patches
    assert list(empty.columns) == list(full.columns)


def test_patches_across_the_antimeridian_are_one_and_lie_in_the_south(frames):
    plane = working_crs(180.0, -17.0)
    weeds = frames.layer(
        "infestations",
        [
            frames.row(shapely.box(179.990, -17.0, 179.9995, -16.99), id="W"),  # 53 m from the line
            frames.row(shapely.box(-179.9998, -17.0, -179.99, -16.99), id="E"),  # 21 m from it
        ],
        crs=CRS.from_epsg(4326),
    ).to_crs(plane)
    layers = type(frames.layers())(crs=plane, vectors={"infestations": weeds}, rasters={})
    season = frames.season(crews=[("East", -179.5, -17.0), ("West", 179.0, -17.0)])
    sites = find_patches(layers, season, frames.HOST)
    assert members_of(sites) == {"ASHT-E": "E; W"}
    patch = sites.patches.iloc[0]
    assert abs(patch["longitude_deg"]) > 179.98
    assert -17.0 < patch["latitude_deg"] < -16.99
    assert patch["utm_zone"] in {"60S", "1S"}
    # 0.49 deg of longitude at 17 S is 52 km; the western base is 0.99 deg away.
    assert patch["crew"] == "East"
    assert patch["crew_distance_km"] == pytest.approx(0.49 * 111.32 * np.cos(np.radians(17)), rel=2e-3)
    assert patch["gross_ha"] == pytest.approx(
        (0.0095 + 0.0098) * 111.32 * np.cos(np.radians(17)) * 0.01 * 110.65 * 100, rel=2e-3
    )
