def test_finds_before_the_first_release_on_their_ground(folder, found):
    folder.write("releases", [folder.point(0), folder.point(0), folder.point(1), folder.point(2)],
                 release_id=["R1", "R2", "R3", "R4"], agent=["stem weevil"] * 3 + ["leaf beetle"],
                 date=["2022-05-01", "2020-05-01", "2022-05-01", "2022-05-01"])  # fmt: skip
    names = ["early", "between", "named", "not found", "another agent"]
    folder.write("visits", [folder.point(0), folder.point(0), folder.point(1), folder.point(1), folder.point(2)],
                 visit_id=names, release_id=[None, None, "R3", None, None], agent="stem weevil",
                 date=["2019-07-01", "2021-07-01", "2021-07-01", "2021-07-01", "2021-07-01"],
                 result=["found", "found", "found", "not found", "found"])  # fmt: skip
    layers = folder.read()
    [early] = found(layers, "find-before-release")
    assert early.text() == (
        "note: layers.visits feature early\n"
        "  the agent was found on 2019-07-01, before its first known release there, R2 of 2020-05-01.\n"
        "  Fix: Nothing, if the agent came by itself; otherwise add the older release, or correct a date."
    )
    assert [one.feature for one in found(layers, "visit-before-release")] == ["named"]


def test_a_release_beyond_the_uncertainty_of_both_positions_is_elsewhere(folder, found):
    # 0.001 degrees of latitude are 111 m: more than 30 + 80, less than 30 + 90.
    for unsure_m, told in ((80, 0), (90, 1)):
        folder.write("releases", [folder.point()], release_id="R1", agent="stem weevil", date="2022-05-01",
                     coordinate_uncertainty_m=unsure_m)  # fmt: skip
        folder.write_table("visits", [["visit_id", "agent", "date", "result", "longitude_deg", "latitude_deg"],
                                      ["V1", "stem weevil", "2019-07-01", "found", "-110.0", "47.001"]])  # fmt: skip
        assert len(found(folder.read(), "find-before-release")) == told
