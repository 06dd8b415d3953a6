def test_visits_that_match_no_release_and_no_infestation(folder, found):
    folder.write("releases", [folder.point(1)], release_id="R1", agent="stem weevil", date="2020-05-01")
    here = [
        folder.point(0),
        folder.point(1),
        folder.point(2),
        folder.point(2),
        folder.point(2),
        folder.point(1),
    ]
    folder.write("visits", here, visit_id=["on weed", "at release", "alone", "named", "vague", "another"],
                 release_id=[None, None, None, "R1", None, None],
                 agent=["stem weevil"] * 5 + ["leaf beetle"], date="2022-07-01", result="found",
                 coordinate_uncertainty_m=[None, None, None, None, 2000, None])  # fmt: skip
    [alone] = found(folder.read(), "visit-nowhere")
    assert alone.text() == (
        "caution: layers.visits feature alone\n"
        "  no infestation and no release of its agent lies within the uncertainty of its position (30 m); it "
        "stands for a place of its own.\n"
        "  Fix: Correct the position, name the release visited, or state how far off the position may be."
    )
