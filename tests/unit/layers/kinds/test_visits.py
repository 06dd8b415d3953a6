AGENT = {"agent": "stem weevil", "date": "2024-06-01"}


def add_releases(folder):
    folder.write("releases", [folder.point(0)], release_id="R1", agent="stem weevil", date="2020-06-01")


def test_found_and_not_found_in_the_users_words(folder):
    add_releases(folder)
    folder.write(
        "visits",
        [folder.point(0)] * 4,
        visit_id=["V1", "V2", "V3", "V4"],
        release_id=["R1", " r1 ", "", None],
        result=["Seen", "none seen", "seen", "none  seen"],
        **AGENT,
    )
    folder.layers["visits"] |= {"yes": ["seen"], "no": ["none seen"]}
    layers = folder.read()
    frame = layers.vectors["visits"]
    assert frame["found"].dtype == bool
    assert frame["found"].tolist() == [True, False, True, False]
    assert frame["release_id"].tolist() == ["R1", "R1", "", ""]
    assert frame["release_link"].tolist() == ["id", "id", "", ""]
    assert [one.code for one in layers.findings if one.layer == "visits"] == ["visits-could-join"]


def test_neither_found_nor_not_is_set_aside(folder, told):
    folder.write(
        "visits",
        [folder.point(0), folder.point(1)],
        visit_id=["V1", "V2"],
        result=["found", "frass"],
        **AGENT,
    )
    layers = folder.read()
    assert layers.vectors["visits"]["visit_id"].tolist() == ["V1"]
    assert layers.vectors["visits"]["found"].tolist() == [True]
    assert told(layers, "result-unknown") == (
        "caution: layers.visits feature V2\n"
        "  Set aside: result 'frass' is neither found nor not found.\n"
        '  Fix: If it means found, write in this layer: yes = ["yes", "y", "true", "1", "found", "granted", "detected", "present", "YOUR WORD"]; if not found: no = ["no", "n", "false", "0", "not found", "refused", "notdetected", "absent", "YOUR WORD"]'
    )


def test_visit_of_no_release_counts_without_one(folder, told):
    add_releases(folder)
    folder.write("visits", [folder.point(0)], visit_id="V1", release_id="R11", result="found", **AGENT)
    layers = folder.read()
    assert layers.vectors["visits"]["release_id"].tolist() == [""]
    assert told(layers, "release-unmatched") == (
        "caution: layers.visits feature V1\n"
        "  release_id 'R11' is no release in use; the visit counts without one. Did you mean 'R1'?\n"
        "  Fix: Correct the id, or add the release."
    )


def test_visits_without_a_releases_layer(folder, told):
    folder.write("visits", [folder.point(0)], visit_id="V1", release_id="R1", result="found", **AGENT)
    layers = folder.read()
    assert layers.vectors["visits"]["release_id"].tolist() == [""]
    assert told(layers, "release-unmatched") == (
        "caution: layers.visits\n"
        "  the season has no releases layer, so 1 visit (V1) with a release_id counts without a release.\n"
        "  Fix: Add [layers.releases]."
    )


def test_stopped_releases_leave_the_visits_alone(folder, found):
    folder.add("releases", "no_such.gpkg")
    folder.write("visits", [folder.point(0)], visit_id="V1", release_id="R1", result="found", **AGENT)
    layers = folder.read()
    assert layers.vectors["visits"]["release_id"].tolist() == ["R1"]
    assert found(layers, "release-unmatched") == []


def test_a_table_without_positions_takes_those_of_its_releases(folder, told):
    positions = [folder.point(n) for n in range(4)]
    folder.write(
        "releases",
        positions,
        release_id=["R1", "R2", "R3", "r3"],
        agent="stem weevil",
        date="2020-06-01",
        coordinate_uncertainty_m=[12, 40, 5, 5],
    )
    rows = ["V1,r2,found", "V2,R1,not found", "V3,,found", "V4,R9,found", "V5,R3,found", "V6,R2,found"]
    lines = ["visit_id,release_id,result,agent,date", *(f"{row},stem weevil,2024-06-01" for row in rows)]
    (folder.folder / "visits.csv").write_text("\n".join(lines) + "\n")
    folder.add("visits", "visits.csv")
    folder.rules["max_bad_share"] = 0.6
    layers = folder.read()
    visits, releases = layers.vectors["visits"], layers.vectors["releases"]
    assert visits["visit_id"].tolist() == ["V1", "V2", "V6"]
    assert visits["release_id"].tolist() == ["R2", "R1", "R2"]
    assert visits.geometry.tolist() == [releases.geometry[row] for row in (1, 0, 1)]
    assert visits["coordinate_uncertainty_m"].tolist() == [40.0, 12.0, 40.0]
    assert told(layers, "visits-placed") == (
        "note: layers.visits\n"
        "  the table has no positions, so those of the releases named were used for 3 visits.\n"
        "  Fix: Add positions if visits were made elsewhere."
    )
    assert [one.what for one in layers.findings if one.code == "geometry-missing"] == [
        "Set aside: it has no position and names no release.",
        "Set aside: it has no position, and release_id 'R9' is no release in use.",
        "Set aside: it has no position, and several releases are called 'R3'.",
    ]


PLACELESS = [["visit_id", "release_id", "result", "agent", "date"], ["V1", "R1", "found", *AGENT.values()]]


def test_visits_without_positions_or_releases_are_refused(folder, told):
    folder.write_table("visits", PLACELESS)
    assert told(folder.read(), "visits-unplaced") == (
        "stop: layers.visits\n"
        "  the table has no positions, and the season has no releases to place its visits at.\n"
        "  Fix: Add [layers.releases]; or longitude_deg and latitude_deg to the table."
    )


def test_visits_without_positions_wait_for_their_releases(folder, told):
    folder.add("releases", "no_such.gpkg")
    folder.write_table("visits", PLACELESS)
    assert told(folder.read(), "visits-unplaced") == (
        "stop: layers.visits\n"
        "  the table has no positions, and the releases its visits would be placed at cannot be used.\n"
        "  Fix: Mend the releases; the visits wait for them."
    )


def test_a_voucher_that_says_there_is_none_is_blank(folder):
    folder.write("visits", [folder.point(0)] * 4, visit_id=["V1", "V2", "V3", "V4"], result="found",
                 voucher=["QV 12", "No", "none", None], **AGENT)  # fmt: skip
    assert folder.read().vectors["visits"]["voucher"].tolist() == ["QV 12", "", "", ""]


def test_the_words_of_darwin_core_for_found_and_not_found(folder):
    folder.write("visits", [folder.point(0)] * 4, visit_id=["V1", "V2", "V3", "V4"],
                 result=["detected", "notDetected", "present", "absent"], **AGENT)  # fmt: skip
    assert folder.read().vectors["visits"]["found"].tolist() == [True, False, True, False]


def test_a_visit_without_a_position_stands_where_its_release_lies(folder, told):
    folder.write("releases", [folder.point(0), folder.point(1)], release_id=["R1", "R2"], agent="stem weevil",
                 date="2020-06-01", coordinate_uncertainty_m=[12, 40])  # fmt: skip
    head = ["visit_id", "release_id", "agent", "date", "result", "easting_m", "northing_m"]
    row = ["stem weevil", "2024-06-01", "found"]
    folder.write_table("visits", [head, ["V1", "R2", *row, "", ""], ["V2", "R1", *row, "576000", "5205000"],
                                  ["V3", "", *row, "", ""]], crs="EPSG:32612")  # fmt: skip
    layers = folder.read()
    visits, releases = layers.vectors["visits"], layers.vectors["releases"]
    assert visits["visit_id"].tolist() == ["V1", "V2"]
    assert visits.geometry[0].distance(releases.geometry[1]) < 0.01
    assert visits.geometry[1].distance(releases.geometry[0]) > 600
    assert visits["coordinate_uncertainty_m"].tolist()[0] == 40.0
    assert told(layers, "visits-placed") == (
        "note: layers.visits\n"
        "  the position of the release named was used for 1 visit without one.\n"
        "  Fix: Add positions if visits were made elsewhere."
    )
    assert told(layers, "geometry-missing").startswith("caution: layers.visits feature V3")


def test_visits_without_ids_are_called_by_their_rows(folder, told):
    rows = [["stem weevil", f"2022-07-0{day}", "found", "-110", f"47.00{day}"] for day in range(1, 5)]
    folder.write_table("visits", [["agent", "date", "result", "longitude_deg", "latitude_deg"], *rows])
    layers = folder.read()
    assert layers.vectors["visits"]["visit_id"].tolist() == ["row 2", "row 3", "row 4", "row 5"]
    assert told(layers, "visits-numbered") == (
        "note: layers.visits\n"
        "  no visit has a visit_id, so each is called by its row: row 2, row 3, row 4 and 1 more.\n"
        "  Fix: Add a visit_id, if visits are to keep their names when rows are added or sorted."
    )


def test_a_table_without_rows_places_no_visits(folder, found):
    add_releases(folder)
    (folder.folder / "visits.csv").write_text("release_id,agent,date,result\n")
    folder.add("visits", "visits.csv")
    layers = folder.read()
    assert found(layers, "visits-placed") == []
    assert len(found(layers, "layer-empty")) == 1


def test_a_stop_names_the_rows_the_column_the_text_and_what_to_do(folder, told):
    folder.rules["max_bad_share"] = 0.05
    folder.write("visits", [folder.point(n) for n in range(5)], visit_id=[f"V{n}" for n in range(5)],
                 agent=["stem weevil"] * 4 + [""], date=["2024-06-01", "2024-06-01", "2024-06-01", None, "2024-06-01"],
                 result=["found", "maybe", "frass", "found", "found"])  # fmt: skip
    text = told(folder.read(), "too-many-bad")
    assert text.startswith(
        "stop: layers.visits\n"
        "  4 of 5 features (80.0 percent) cannot be used; the limit is 5 percent (rules.max_bad_share): unknown result "
        "(2), blank agent (1), blank date (1). V4: agent is blank. V3: date is blank. V1: result 'maybe' is neither "
        "found nor not found.\n"
        "  Fix: V4: Fill the cell in, or take the row out. V1: If it means found, write in this layer: yes = ["
    )
    assert text.endswith("; or raise max_bad_share under [rules] to do without them.")
