import pytest


@pytest.mark.parametrize(
    ("day", "is_said"), [("2025-05-31", True), ("2025-06-01", False), ("2026-01-01", False)]
)
def test_a_release_before_the_first_survey_of_its_ground(folder, found, day, is_said):
    folder.write("infestations", [folder.square(), folder.square(1), folder.square()], id=["A", "B", "C"],
                 host="ashthorn", cover=[1.0, 1.0, 2.0],
                 survey_date=["2025-06-01", "2010-06-01", "2026-06-01"])  # fmt: skip
    middle = folder.square().centroid
    folder.write("releases", [middle], release_id="R1", agent="stem weevil", date=day)
    findings = found(folder.read(), "release-before-survey")
    assert bool(findings) is is_said
    if is_said:
        assert findings[0].text() == (
            "note: layers.releases\n"
            "  1 release (R1) is dated before the first survey of the host on that ground, as the infestations layer "
            "has it.\n"
            "  Fix: Nothing, if older surveys of that ground were left out; otherwise correct one of the two dates."
        )


def test_the_survey_of_another_host_and_undated_ones_say_nothing(folder, found):
    folder.agents = [("stem weevil", "ashthorn"), ("leaf beetle", "brindlebell")]
    folder.write("infestations", [folder.square(), folder.square()], host=["ashthorn", "brindlebell"],
                 cover=1.0, survey_date=[None, "2025-06-01"])  # fmt: skip
    folder.write(
        "releases", [folder.square().centroid], release_id="R1", agent="stem weevil", date="2020-01-01"
    )
    assert found(folder.read(), "release-before-survey") == []
