import pytest

HOST = {"host": "ashthorn", "cover": 40.0}


@pytest.mark.parametrize(
    ("survey", "visit", "said"),
    [
        # The day of the season is 2026-11-01.
        ("1996-10-01", None, "1996-10-01, 30 years before 2026-11-01"),
        ("1950-01-01", "1970-06-01", "1970-06-01, 56 years before 2026-11-01"),
        ("1950-01-01", "2019-06-01", ""),
        (None, None, ""),
    ],
)
def test_a_day_long_after_all_that_is_known(folder, found, survey, visit, said):
    folder.write("infestations", [folder.square(0)], survey_date=[survey], **HOST)
    if visit is not None:
        folder.write(
            "visits", [folder.point(0)], visit_id="V1", agent="stem weevil", date=visit, result="found"
        )
    findings = found(folder.read(), "day-far")
    assert len(findings) == bool(said)
    for finding in findings:
        assert finding.what == f"the newest survey, release or visit is of {said} (as_of)."
