import pytest
import shapely


@pytest.mark.parametrize("layer", ["releases", "visits", "requests"])
def test_records_far_from_everything_else(folder, told, layer):
    """2.63 degrees east at 47 N are about 200 km; the least limit is 100 km."""
    columns = {
        "releases": {"release_id": ["a", "b"], "agent": "stem weevil", "date": "2026-01-01"},
        "visits": {"visit_id": ["a", "b"], "agent": "stem weevil", "date": "2026-01-01", "result": "found"},
        "requests": {"request_id": ["a", "b"]},
    }
    folder.write(layer, [shapely.Point(-110, 47), shapely.Point(-107.37, 47)], **columns[layer])
    layers = folder.read()
    assert len(layers.vectors[layer]) == 2
    assert told(layers, "position-far") == (
        f"caution: layers.{layer} feature b\n"
        "  it lies 199 km from the middle of the infestations; more than 100 km is far (three times the distance "
        "within which nine of ten lie, at least 100 km).\n"
        "  Fix: Correct the position; if it is right, nothing needs doing."
    )


def test_one_infestation_in_ten_cannot_hide_itself(folder, found):
    ground = [folder.square(n) for n in range(19)] + [shapely.box(-100, 47, -99.999, 47.001)]
    folder.write("infestations", ground, id=[f"K{n}" for n in range(20)], host="ashthorn", cover=1.0,
                 survey_date="2025-06-01")  # fmt: skip
    assert [one.feature for one in found(folder.read(), "position-far")] == ["K19"]


def test_wide_seasons_have_a_wide_limit(folder, found):
    """Infestations from 110 W to 104 W: nine in ten within some 205 km, so 500 km is not far."""
    ground = [shapely.box(-110 + 0.3 * n, 47, -109.999 + 0.3 * n, 47.001) for n in range(21)]
    folder.write("infestations", ground, host="ashthorn", cover=1.0, survey_date="2025-06-01")
    folder.write("requests", [shapely.Point(-100.4, 47)], request_id="Q1")
    assert found(folder.read(), "position-far") == []


def test_a_layer_of_another_part_of_the_world(folder, told):
    """From 109.9995 W 47.0005 N to 91 W 41 N: 1,654 km on the sphere by pyproj's Geod (1,658 on WGS 84)."""
    folder.write("roads", [shapely.LineString([(-90, 40), (-91, 41)])], road_class="track")
    assert told(folder.read(), "layer-elsewhere") == (
        "caution: layers.roads\n"
        "  the whole layer lies 1,654 km or more from the middle of the infestations.\n"
        "  Fix: Check that it is the right file, and its coordinate reference system."
    )


def test_the_first_hundred_are_shown_and_the_rest_counted(folder, found):
    places = [shapely.Point(-100 + 0.001 * n, 47) for n in range(130)]
    folder.write("requests", places, request_id=[f"Q{n:03d}" for n in range(130)])
    far = found(folder.read(), "position-far")
    assert [one.feature for one in far[:100]] == [f"Q{n:03d}" for n in range(100)]
    assert [one.what for one in far[100:]] == [
        "the same of 30 more features (Q100, Q101, Q102, Q103, Q104 and 25 more)."
    ]


@pytest.mark.parametrize(
    ("place", "clue"),
    [
        ((0.0, 0.0), ", at longitude 0, latitude 0, where blank positions end up;"),
        ((110.0, 47.0), ", and would lie among them with the other sign of the longitude;"),
        ((-110.0, -47.0), ", and would lie among them with the other sign of the latitude;"),
        ((20.0, 30.0), " infestations; more than"),
    ],
)
def test_what_may_have_happened_to_a_position_is_said(folder, told, place, clue):
    folder.write("requests", [shapely.Point(-110, 47), shapely.Point(place)], request_id=["Q1", "Q2"])
    text = told(folder.read(), "position-far")
    assert text.startswith("caution: layers.requests feature Q2\n")
    assert clue in text


@pytest.mark.parametrize("number", [3, 4, 9, 10])
def test_a_wrong_one_among_few_cannot_hide_itself(folder, found, number):
    ground = [folder.square(n) for n in range(number - 1)] + [shapely.box(100, 47, 100.001, 47.001)]
    folder.write("infestations", ground, id=[f"K{n}" for n in range(number)], host="ashthorn", cover=1.0,
                 survey_date="2025-06-01")  # fmt: skip
    assert [one.feature for one in found(folder.read(), "position-far")] == [f"K{number - 1}"]


def test_infestations_far_from_every_crew(folder, told, found):
    """From 110 E 47 N to 109.6 W 47.1 N: by pyproj's Geod 8,892 km on WGS 84, 8,867 km on its sphere."""
    folder.write("infestations", [shapely.box(110, 47, 110.001, 47.001)], host="ashthorn", cover=1.0,
                 survey_date="2025-06-01")  # fmt: skip
    assert told(folder.read(), "bases-far") == (
        "caution: layers.infestations\n"
        "  the infestations lie around longitude 110.00 deg, latitude 47.00 deg, 8,867 km from the nearest crew "
        "base, and would lie near it with the other sign of the longitude.\n"
        "  Fix: Check the signs of their coordinates, their coordinate reference system, and the [[crews]]."
    )
    folder.crew = {"base_longitude_deg": 110.5, "base_latitude_deg": 47.1}
    assert found(folder.read(), "bases-far") == []


def test_one_crew_base_far_from_the_infestations(folder, told):
    """From 109.9995 W 47.0005 N to 109.6 E 47.1 N: 8,867 km on the sphere of 6,371 km by pyproj's Geod."""
    folder.more_crews = [{"name": "Depot", "base_longitude_deg": 109.6, "base_latitude_deg": 47.1}]
    assert told(folder.read(), "base-far") == (
        "caution: layers.infestations\n"
        "  the base of crew 'Depot' lies 8,867 km from the middle of the infestations, and would lie among them with "
        "the other sign of the longitude.\n"
        "  Fix: Check the place of that base under [[crews]]."
    )
