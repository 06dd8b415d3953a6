def test_a_visit_of_another_agent_than_its_release(folder, told):
    folder.agents = [("stem weevil", "ashthorn"), ("leaf beetle", "ashthorn")]
    folder.write("releases", [folder.point()], release_id="R1", agent="Stem  Weevil", date="2020-05-01")
    folder.write("visits", [folder.point()] * 3, visit_id=["V1", "V2", "V3"], release_id=["R1", "R1", None],
                 agent=["stem weevil", "leaf beetle", "leaf beetle"], date="2022-07-01", result="found")  # fmt: skip
    assert told(folder.read(), "visit-agent-differs") == (
        "caution: layers.visits feature V2\n"
        "  it looked for 'leaf beetle', and its release R1 is one of 'stem weevil', of which it says nothing.\n"
        "  Fix: Correct the agent of one of the two, or the release_id."
    )
