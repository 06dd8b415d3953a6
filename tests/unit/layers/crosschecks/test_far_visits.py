import pytest

# 0.01 degrees of latitude are 1,112 m here (40,008 km of meridian / 360 / 100, flattening within 0.3 %).
HEAD = ["visit_id", "release_id", "agent", "date", "result", "longitude_deg", "latitude_deg"]


def add(folder, north_deg, unsure_m=None, release_id="R1"):
    folder.write("releases", [folder.point()], release_id="R1", agent="stem weevil", date="2020-05-01",
                 coordinate_uncertainty_m=unsure_m)  # fmt: skip
    row = ["V1", release_id, "stem weevil", "2022-07-01", "found", "-110", f"{47 + north_deg:.5f}"]
    folder.write_table("visits", [HEAD, row])


def test_a_visit_far_from_the_release_it_names(folder, told):
    add(folder, 0.02)
    layers = folder.read()
    assert told(layers, "visit-far-from-release") == (
        "caution: layers.visits feature V1\n"
        "  it lies 2.2 km from the release it names, R1; that is more than their uncertainties, 60 m together, "
        "and 1,000 m (our choice). It still counts for its own place.\n"
        "  Fix: Correct the release_id, or one of the two positions."
    )
    assert layers.vectors["visits"]["release_id"].tolist() == ["R1"]


# 1,056 m and 1,067 m stand on both sides of 1,060 m; 1,112 m is within 1,000 + 30 + 100 m; 5 m count as 30 m.
@pytest.mark.parametrize(
    ("north_deg", "unsure_m", "number"),
    [(0.0095, None, 0), (0.0096, None, 1), (0.01, 100, 0), (0.0095, 5, 0), (0.0096, 5, 1)],
)
def test_both_uncertainties_and_a_kilometre_are_borne(folder, found, north_deg, unsure_m, number):
    add(folder, north_deg, unsure_m)
    assert len(found(folder.read(), "visit-far-from-release")) == number


def test_a_visit_that_names_no_release_is_far_from_none(folder, found):
    add(folder, 0.02, release_id="")
    assert found(folder.read(), "visit-far-from-release") == []
