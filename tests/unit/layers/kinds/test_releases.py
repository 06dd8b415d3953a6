import numpy as np

AGENT = {"agent": "stem weevil", "date": "2020-06-01"}


def test_agents_purpose_and_numbers(folder, told):
    folder.write(
        "releases",
        [folder.point(n) for n in range(3)],
        release_id=["R1", "R2", "R3"],
        agent=["Stem  Weevil", "stem weevil", "stem weevill"],
        date="2020-06-01",
        number=[200, 0, None],
        purpose=["", "Nursery", "trial"],
    )
    layers = folder.read()
    frame = layers.vectors["releases"]
    assert frame["agent"].tolist() == ["stem weevil", "stem weevil", "stem weevill"]
    assert frame["purpose"].tolist() == ["new", "nursery", "new"]
    assert np.array_equal(frame["number"], [200.0, 0.0, np.nan], equal_nan=True)
    assert told(layers, "agent-unknown") == (
        "caution: layers.releases\n"
        "  'stem weevill' is no agent of this season; 1 row (R3) is not used.\n"
        "  Fix: Add its profile to [season] agents, or correct the name. Did you mean 'stem weevil'?"
    )
    assert told(layers, "purpose-unknown") == (
        "caution: layers.releases\n"
        "  purpose 'trial' is unknown and was taken as new for 1 row (R3).\n"
        "  Fix: It can be new, supplement or nursery."
    )


def test_uncertainty_of_zero_is_missing(folder, told):
    folder.write(
        "releases",
        [folder.point(n) for n in range(3)],
        release_id=["R1", "R2", "R3"],
        coordinate_uncertainty_m=[0.0, 12.5, None],
        **AGENT,
    )
    layers = folder.read()
    assert np.array_equal(
        layers.vectors["releases"]["coordinate_uncertainty_m"], [np.nan, 12.5, np.nan], equal_nan=True
    )
    assert told(layers, "uncertainty-impossible") == (
        "caution: layers.releases\n"
        "  coordinate_uncertainty_m is 0 m or less in 1 row (R1) and was taken as missing.\n"
        "  Fix: No position is without error: leave it blank, or write 30 for an ordinary receiver."
    )


def test_second_release_with_the_same_id_is_set_aside(folder, told):
    folder.rules["max_bad_share"] = 0.0
    folder.write("releases", [folder.point(0), folder.point(1)], release_id=["R1", "r1"], **AGENT)
    layers = folder.read()
    assert layers.vectors["releases"]["row"].tolist() == [1]
    assert told(layers, "release-repeated") == (
        "caution: layers.releases feature r1\n"
        "  Set aside: row 2 repeats the release_id of row 1.\n"
        "  Fix: Give each release an id of its own."
    )


def test_release_without_id_gets_its_row_number(folder, told):
    folder.write("releases", [folder.point(0), folder.point(1)], release_id=["R1", None], **AGENT)
    layers = folder.read()
    assert layers.vectors["releases"]["release_id"].tolist() == ["R1", "row 2"]
    assert told(layers, "blank-id") == (
        "caution: layers.releases\n"
        "  1 feature (row 2) had no release_id; the row number stands in for it.\n"
        "  Fix: Give every row an id of its own."
    )


def test_future_release_is_not_known_yet(folder, told):
    folder.write("releases", [folder.point(0)], release_id="R1", agent="stem weevil", date="2027-06-01")
    layers = folder.read()
    assert len(layers.vectors["releases"]) == 0
    assert "date 2027-06-01 is after 2026-11-01 (as_of)" in told(layers, "dated-later")
