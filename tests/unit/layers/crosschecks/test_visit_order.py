def test_a_visit_before_its_release(folder, told):
    folder.write("releases", [folder.point()], release_id="R1", agent="stem weevil", date="2026-05-01")
    folder.write("visits", [folder.point()] * 3, visit_id=["V1", "V2", "V3"], release_id=["R1", "r1", None],
                 agent="stem weevil", date=["2026-04-30", "2026-05-01", "2019-01-01"],
                 result="found")  # fmt: skip
    layers = folder.read()
    assert len(layers.vectors["visits"]) == 3
    assert told(layers, "visit-before-release") == (
        "caution: layers.visits feature V1\n"
        "  the visit of 2026-04-30 comes before its release R1 of 2026-05-01.\n"
        "  Fix: Correct one of the two dates, or the release_id."
    )


def test_a_release_date_after_the_visit_and_one_of_another_release(folder, told):
    folder.write("releases", [folder.point()], release_id="R1", agent="stem weevil", date="2024-05-01")
    folder.write("visits", [folder.point()] * 3, visit_id=["V1", "V2", "V3"], release_id=[None, "R1", "R1"],
                 agent="stem weevil", date=["2025-07-01", "2025-07-01", "2025-07-01"],
                 release_date=["2025-08-01", "2024-06-30", "2024-05-31"], result="found")  # fmt: skip
    layers = folder.read()
    assert told(layers, "release-date-later") == (
        "caution: layers.visits feature V1\n"
        "  release_date 2025-08-01 comes after the visit itself, on 2025-07-01.\n"
        "  Fix: Correct one of the two dates."
    )
    assert told(layers, "release-date-differs") == (
        "caution: layers.visits feature V2\n"
        "  release_date 2024-06-30 is 60 days from that of its release R1, 2024-05-01; more than 30 days "
        "(records.link_days) are not the same release.\n"
        "  Fix: Correct the release_date, or the release_id."
    )
