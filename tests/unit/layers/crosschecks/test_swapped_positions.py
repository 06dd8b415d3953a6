import shapely

from geo_scout.layers.crosschecks.neighbourhood import Neighbourhood

DATED = {"agent": "stem weevil", "date": "2020-01-01"}


def test_a_swapped_release_is_set_aside(folder, told):
    """Near 80 E 47 N both orders are possible: 47 E 80 N is a place, too.

    By pyproj's Geod 3,888 km on the sphere (3,897 on WGS 84).
    """
    folder.crew = {"base_longitude_deg": 80.0, "base_latitude_deg": 47.0}
    ground = [shapely.box(80 + 0.01 * n, 47, 80.001 + 0.01 * n, 47.001) for n in range(4)]
    folder.write("infestations", ground, host="ashthorn", cover=1.0, survey_date="2019-05-01")
    folder.write(
        "releases", [shapely.Point(80, 47), shapely.Point(47.02, 80.01)], release_id=["R1", "R2"], **DATED
    )
    layers = folder.read()
    assert layers.vectors["releases"]["release_id"].tolist() == ["R1"]
    assert told(layers, "position-swapped") == (
        "caution: layers.releases feature R2\n"
        "  Set aside: longitude 47.02000 deg, latitude 80.01000 deg is 3,888 km from the middle of the "
        "infestations; with the two swapped it lies among them.\n"
        "  Fix: Exchange the two; longitude comes first, or each column gets its own in `columns`."
    )


def test_many_swapped_rows_stop_the_layer(folder, told):
    folder.crew = {"base_longitude_deg": 80.0, "base_latitude_deg": 47.0}
    folder.rules["max_bad_share"] = 0.05
    folder.write(
        "infestations",
        [shapely.box(80, 47, 80.001, 47.001)],
        host="ashthorn",
        cover=1.0,
        survey_date="2019-05-01",
    )
    folder.write(
        "releases", [shapely.Point(47, 80), shapely.Point(47.02, 80.01)], release_id=["R1", "R2"], **DATED
    )
    layers = folder.read()
    assert not layers.has("releases")
    assert told(layers, "position-swapped") == (
        "stop: layers.releases\n"
        "  longitude and latitude look swapped in 2 features (R1, R2): they lie far from the infestations and would "
        "lie among them with the two exchanged; the limit is 5 percent (rules.max_bad_share).\n"
        "  Fix: Exchange the two; longitude comes first, or each column gets its own in `columns`."
    )


def test_infestations_swapped_as_a_whole_are_known_by_the_crew_base(folder, told):
    folder.crew = {"base_longitude_deg": 80.0, "base_latitude_deg": 47.0}
    swapped = [shapely.box(47, 80 + 0.01 * n, 47.001, 80.001 + 0.01 * n) for n in range(3)]
    folder.write("infestations", swapped, host="ashthorn", cover=1.0, survey_date="2019-05-01")
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "position-swapped") == (
        "stop: layers.infestations\n"
        "  the infestations lie around longitude 47.00 deg, latitude 80.01 deg, 3,888 km from the nearest crew base; "
        "with the two swapped it would be 1 km.\n"
        "  Fix: Exchange the two; longitude comes first, or each column gets its own in `columns`."
    )


def test_places_that_are_far_both_ways_are_left_alone(folder, found):
    folder.write("releases", [shapely.Point(20.0, 30.0)], release_id="R1", **DATED)
    layers = folder.read()
    assert found(layers, "position-swapped") == []
    assert len(layers.vectors["releases"]) == 1


def test_distances_are_those_of_a_sphere():
    """One degree of a great circle of 6,371 km is 111.19 km; across the antimeridian as elsewhere."""
    import numpy as np
    import pytest

    around = Neighbourhood(179.5, 0.0, 1.0)
    there = np.array([-179.5, 179.5]), np.array([0.0, 1.0])
    assert around.distance_km(*there).tolist() == pytest.approx([111.195, 111.195], abs=0.001)
