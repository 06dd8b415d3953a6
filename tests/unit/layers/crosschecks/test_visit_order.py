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
