import numpy as np
import pytest

RELEASE = {"agent": "stem weevil", "date": "2020-06-01"}
VISIT = {"visit_id": ["V1", "V2", "V3"], "result": "found", **RELEASE}


@pytest.mark.parametrize(
    ("column", "wrong", "most"),
    [
        ("count", -5.0, "1,000,000,000"),
        ("count", 1e30, "1,000,000,000"),
        ("effort_hours", -0.5, "10,000"),
        ("effort_hours", 1e9, "10,000"),
        ("coordinate_uncertainty_m", 1e30, "20,037,509"),
    ],
)
def test_numbers_no_visit_can_have_are_missing_and_said(folder, told, column, wrong, most):
    folder.write("visits", [folder.point(n) for n in range(3)], **VISIT, **{column: [12.0, wrong, None]})
    layers = folder.read()
    assert np.array_equal(layers.vectors["visits"][column], [12.0, np.nan, np.nan], equal_nan=True)
    assert told(layers, "number-impossible") == (
        "caution: layers.visits\n"
        f"  {column} can be 0 to {most}; it is {wrong:g} in 1 row (V2) and was taken as missing.\n"
        "  Fix: Correct it, or leave it blank."
    )


def test_a_negative_number_of_released_agents_is_missing(folder, found):
    folder.write("releases", [folder.point(0)] * 2, release_id=["R1", "R2"], number=[-200, 0], **RELEASE)
    layers = folder.read()
    assert np.array_equal(layers.vectors["releases"]["number"], [np.nan, 0.0], equal_nan=True)
    [finding] = found(layers, "number-impossible")
    assert "it is -200 in 1 row (R1)" in finding.what


def test_a_position_that_may_be_kilometres_off_is_said(folder, found):
    folder.write(
        "releases",
        [folder.point(n) for n in range(3)],
        release_id=["R1", "R2", "R3"],
        coordinate_uncertainty_m=[1_000.0, 100_000.0, None],
        **RELEASE,
    )
    layers = folder.read()
    [finding] = found(layers, "position-vague")
    assert finding.text() == (
        "caution: layers.releases feature R2\n"
        "  its position may be off by 100.0 km (coordinate_uncertainty_m); it counts for the nearest patch within "
        "that distance.\n"
        "  Fix: Look up the place more closely, or take the row out if it could be any of several patches."
    )
    assert len(layers.vectors["releases"]) == 3
