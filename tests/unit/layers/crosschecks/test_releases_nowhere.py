def test_releases_on_no_ground_of_their_agents_weed(folder, told):
    folder.agents = [("stem weevil", "ashthorn"), ("leaf beetle", "brindlebell")]
    folder.write("infestations", [folder.square(0), folder.square(1)], id=["A1", "A2"],
                 host=["ashthorn", "brindlebell"], cover=40.0, survey_date="2019-06-01")  # fmt: skip
    folder.write("releases", [folder.point(0), folder.point(1), folder.point(5), folder.point(5), folder.point(5)],
                 release_id=["on weed", "other weed", "alone", "vague", "stranger"],
                 agent=["stem weevil"] * 4 + ["gall fly"], date="2020-05-01",
                 coordinate_uncertainty_m=[None, None, None, 5000, None])  # fmt: skip
    assert told(folder.read(), "release-nowhere") == (
        "note: layers.releases\n"
        "  2 releases (other weed, alone) lie in no infestation of the agent's host, within the uncertainty of "
        "the position.\n"
        "  Fix: Correct the position, add the infestation, or state how far off the position may be; nothing, if "
        "the weed is gone from there."
    )


def test_releases_on_their_weed_are_not_told(folder, found):
    folder.write("releases", [folder.point(0)], release_id="R1", agent="stem weevil", date="2025-07-01")
    assert found(folder.read(), "release-nowhere") == []
