def test_results_are_folded_and_future_surveys_set_aside(folder, told):
    folder.write(
        "surveyed_areas",
        [folder.square(n) for n in range(4)],
        survey_date=["2025-01-01", "2025-01-01", "2025-01-01", "2027-01-01"],
        result=["", "Nothing found", "walked", ""],
    )
    layers = folder.read()
    assert layers.vectors["surveyed_areas"]["result"].tolist() == ["surveyed", "none found", "surveyed"]
    assert told(layers, "result-unknown") == (
        "caution: layers.surveyed_areas\n"
        "  result 'walked' is unknown and was taken as surveyed for 1 row (row 3).\n"
        "  Fix: It can be none found or surveyed."
    )
    assert "survey_date 2027-01-01 is after 2026-11-01 (as_of)" in told(layers, "dated-later")


def test_survey_without_date_is_set_aside(folder, told):
    folder.write(
        "surveyed_areas",
        [folder.square(0), folder.square(1)],
        survey_date=["2025-01-01", None],
        id=["a", "b"],
    )
    layers = folder.read()
    assert layers.vectors["surveyed_areas"]["id"].tolist() == ["a"]
    assert "survey_date is blank." in told(layers, "blank-value")
