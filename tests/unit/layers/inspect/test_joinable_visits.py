import pytest

from geo_scout.layers.inspect.joinable_visits import count_joinable
from geo_scout.layers.inspect.kinds_guessed import guess_layer

# A degree of latitude is 111.2 km: 0.0004 degrees are 44 m, 0.0006 are 67 m.


@pytest.fixture
def layers(table):
    def make(release_ids, **more):
        releases = table(
            "releases.csv",
            {"release_id": ["R1", "R2"], "agent": ["stem weevil", "leaf beetle"], "date": ["2020-06-01"] * 2},
            middles_deg=((-110.0, 47.0), (-110.0, 47.1)),
        )
        columns = {
            "visit_id": ["V1", "V2", "V3", "V4"],
            "release_id": release_ids,
            "agent": ["stem weevil", "Stem weevil", "stem weevil", "stem weevil"],
            "date": ["2022-06-01", "2022-06-01", "2019-06-01", "2022-06-01"],
            "result": ["found", "not found", "found", "found"],
        }
        places = ((-110.0, 47.0004), (-110.0, 47.0006), (-110.0, 47.0), (-110.0, 47.1))
        visits = table("visits.csv", columns | more, middles_deg=places)
        return {"releases": guess_layer("releases", releases), "visits": guess_layer("visits", visits)}

    return make


def test_visits_of_no_release_near_an_earlier_one_of_their_agent(layers):
    assert count_joinable(layers(["", "", "", ""])) == (1, 50.0)
    assert count_joinable(layers(["", "", "", ""], coordinate_uncertainty_m=["40", "40", "40", ""])) == (
        2,
        100.0,
    )


def test_visits_that_name_a_release_are_none(layers):
    assert count_joinable(layers(["R1", "", "", ""])) == (0, 0.0)
    assert count_joinable({}) == (0, 0.0)
