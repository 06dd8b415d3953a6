"""Stable names: the user's smallest id, or a digest of the ground that no drawing habit changes."""

import numpy as np
import pytest
import shapely

from geo_scout.formulas.geodesy import working_crs
from geo_scout.sites.identity import geometry_digests, host_code, member_ids, natural_key, site_ids

CORNERS = np.array([[0.0, 0.0], [10.0, 0.0], [5.0, 5.0], [0.0, -5.0]])


def test_the_hosts_code_is_stated_or_its_first_letters_and_digits():
    assert host_code("ashthorn", "ASH1") == "ASH1"
    assert host_code("St. John's", None) == "STJO"
    assert host_code("ox", None) == "OX"
    assert host_code("蓟", None) == "HOST"


def test_numbers_inside_ids_sort_as_numbers():
    ids = ["K10", "K9", "9", "K9b", "10", "K010", "", "a-2-10", "a-2-9"]
    ordered = ["", "9", "10", "K9", "K9b", "K010", "K10", "a-2-9", "a-2-10"]
    assert sorted(ids, key=natural_key) == ordered
    assert sorted(reversed(ids), key=natural_key) == ordered


def test_an_id_of_five_thousand_digits_can_be_sorted():
    assert sorted(["9" * 5000, "1"], key=natural_key) == ["1", "9" * 5000]


def test_the_smallest_member_id_names_the_patch():
    ids = [["K10", "K9"], ["K11"], ["b2", "a10"]]
    assert site_ids("ASHT", ids, np.ones(3), CORNERS[:3]) == ["ASHT-K9", "ASHT-K11", "ASHT-a10"]


def test_pieces_of_one_infestation_are_numbered_by_falling_area():
    ids = [["K1"], ["K2"], ["K1", "K3"], ["K1"]]
    assert site_ids("A", ids, np.array([2.0, 9.0, 7.0, 4.0]), CORNERS) == ["A-K1.3", "A-K2", "A-K1", "A-K1.2"]


def test_of_equal_areas_the_western_then_the_southern_one_comes_first():
    ids = [["K1"]] * 4
    almost = np.array([1.0, 1.0 + 4e-8, 1.0 - 4e-8, 1.0])  # equal to the 0.01 m2 that is compared
    assert site_ids("A", ids, almost, CORNERS) == ["A-K1.2", "A-K1.4", "A-K1.3", "A-K1"]


def test_a_number_never_makes_an_id_that_another_patch_has():
    ids = [["K1"], ["K1"], ["K1.2"], ["K1"]]
    named = site_ids("A", ids, np.array([4.0, 3.0, 9.0, 2.0]), CORNERS)
    assert named == ["A-K1", "A-K1.3", "A-K1.2", "A-K1.4"]


def test_members_without_an_id_get_a_digest(frames):
    members = frames.layer(
        "infestations", [frames.row(frames.square(0), id="K1"), frames.row(frames.square(0))]
    )
    first, second = member_ids(members)
    assert first == "K1"
    assert second == geometry_digests(members[1:])[0]
    assert len(second) == 8
    assert int(second, 16) >= 0
    assert member_ids(members[:0]) == []


def lonlat(frames, shape, crs):
    frame = frames.layer("infestations", [frames.row(shape)], crs=4326)
    return frame.to_crs(crs)


ISLAND = shapely.Polygon(
    [(-110.1234567, 47.7654321), (-110.1, 47.77), (-110.11, 47.781), (-110.13, 47.78)],
    [[(-110.115, 47.772), (-110.114, 47.7721), (-110.1145, 47.7729)]],
)


@pytest.mark.parametrize("crs", [32612, 3857, 5070, working_crs(-110, 47), working_crs(-114, 44)])
def test_a_digest_survives_a_change_of_reference_system(frames, crs):
    assert geometry_digests(lonlat(frames, ISLAND, crs)) == geometry_digests(lonlat(frames, ISLAND, 4326))


def test_a_digest_survives_other_ring_starts_directions_and_part_orders(frames):
    ring = list(ISLAND.exterior.coords)[:-1]
    hole = list(ISLAND.interiors[0].coords)
    turned = shapely.Polygon((ring[2:] + ring[:2])[::-1], [hole[::-1]])
    assert geometry_digests(lonlat(frames, turned, 4326)) == geometry_digests(lonlat(frames, ISLAND, 4326))
    other = shapely.box(-110, 47, -109.99, 47.01)
    one_way, other_way = shapely.MultiPolygon([ISLAND, other]), shapely.MultiPolygon([other, turned])
    digests = [geometry_digests(lonlat(frames, shape, 4326)) for shape in (one_way, other_way)]
    assert digests[0] == digests[1]


def test_other_ground_has_another_digest(frames):
    moved = shapely.transform(ISLAND, lambda degrees: degrees + np.array([1e-6, 0]))  # about 8 cm east
    filled = shapely.Polygon(ISLAND.exterior)
    shapes = [ISLAND, moved, filled, shapely.box(0, 0, 1, 1), shapely.box(0, -1, 1, 0)]
    assert len({geometry_digests(lonlat(frames, shape, 4326))[0] for shape in shapes}) == 5


def test_a_digest_of_ground_across_the_antimeridian_does_not_depend_on_how_longitude_is_counted(frames):
    east = shapely.box(179.99, -17.0, 180.01, -16.99)
    west = shapely.box(-180.01, -17.0, -179.99, -16.99)
    plane = working_crs(180.0, -17.0)
    digests = {
        geometry_digests(lonlat(frames, shape, crs))[0] for shape in (east, west) for crs in (plane, 4326)
    }
    on_the_line = [shapely.box(180.0, -17.0, 180.01, -16.99), shapely.box(-180.0, -17.0, -179.99, -16.99)]
    assert len(digests) == 1
    for crs in (plane, 4326):
        assert len({geometry_digests(lonlat(frames, shape, crs))[0] for shape in on_the_line}) == 1


def test_outlines_too_fine_for_the_digest_grid_have_digests(frames):
    # A bow tie narrower than the grid: rounding makes it touch itself, which must not stop the run.
    narrow = shapely.Polygon([(0, 0), (1e-3, 2e-8), (2e-3, 0), (2e-3, 1e-3), (1e-3, 5e-8), (0, 1e-3)])
    assert narrow.is_valid
    assert len(geometry_digests(lonlat(frames, narrow, 4326))[0]) == 8
