import numpy as np
import pytest
import shapely

GOOD = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-06-01"}


def test_good_layer_has_every_column_and_says_nothing(folder):
    folder.write("infestations", [folder.square()], id="A1", permission="Granted", **GOOD)
    folder.layers["infestations"]["units"] = {"cover": "percent"}
    layers = folder.read()
    frame = layers.vectors["infestations"]
    assert layers.findings == ()
    assert frame.crs == layers.crs
    row = frame.iloc[0]
    assert (row["row"], row["id"], row["host"], row["permission"], row["result"]) == (
        1,
        "A1",
        "ashthorn",
        "yes",
        "present",
    )
    assert (row["manager"], row["parcel"], row["name"]) == ("", "", "")
    assert row["survey_date"] == np.datetime64("2025-06-01")
    assert frame["survey_date"].dtype.kind == "M"
    assert np.isnan(row["area"])


def test_file_order_and_row_numbers_are_kept(folder):
    folder.write("infestations", [folder.square(n) for n in (2, 0, 1)], id=["c", "a", "b"], **GOOD)
    frame = folder.read().vectors["infestations"]
    assert frame["id"].tolist() == ["c", "a", "b"]
    assert frame["row"].tolist() == [1, 2, 3]


def test_permission_words(folder, told):
    folder.write(
        "infestations",
        [folder.square(n) for n in range(5)],
        permission=["Y", "refused", "", "unknown", "after lambing"],
        **GOOD,
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["permission"].tolist() == [
        "yes",
        "no",
        "unknown",
        "unknown",
        "unknown",
    ]
    assert told(layers, "permission-unknown") == (
        "caution: layers.infestations\n"
        "  permission 'after lambing' is neither yes nor no; it was taken as unknown for 1 row (row 5).\n"
        '  Fix: If it means granted, write in this layer: yes = ["yes", "y", "true", "1", "found", "granted", "detected", "present", "after lambing"]; if refused: no = ["no", "n", "false", "0", "not found", "refused", "notdetected", "absent", "after lambing"]'
    )


def test_later_survey_is_not_known_yet_and_not_bad(folder, told):
    folder.rules["max_bad_share"] = 0.0
    dates = ["2026-11-01", "2026-11-02"]
    folder.write(
        "infestations",
        [folder.square(0), folder.square(1)],
        id=["a", "b"],
        host="ashthorn",
        cover=1.0,
        survey_date=dates,
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["id"].tolist() == ["a"]
    assert told(layers, "dated-later") == (
        "caution: layers.infestations feature b\n"
        "  Set aside: survey_date 2026-11-02 is after 2026-11-01 (as_of), so it is not known yet.\n"
        "  Fix: Correct the date, or move [season] as_of to the day you plan from."
    )


def test_undated_is_kept_with_a_caution(folder, told):
    folder.write(
        "infestations",
        [folder.square(0), folder.square(1)],
        host="ashthorn",
        cover=1.0,
        survey_date=["2020-01-01", None],
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["survey_date"].isna().tolist() == [False, True]
    assert told(layers, "undated") == (
        "caution: layers.infestations\n"
        "  no survey date is known for 1 infestation (row 2); such a survey counts as older than every dated one, which takes the ground where the two overlap.\n"
        "  Fix: Fill in the day of the survey, even a rough one."
    )


@pytest.mark.parametrize("word", ["none found", "NotDetected", "Absent", "no"])
def test_results_none_found(folder, word):
    folder.write("infestations", [folder.square(0), folder.square(1)], result=["", word], **GOOD)
    assert folder.read().vectors["infestations"]["result"].tolist() == ["present", "none found"]


def test_unknown_result_is_set_aside(folder, told):
    folder.write(
        "infestations", [folder.square(0), folder.square(1)], result=["present", "eradicated"], **GOOD
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "result-unknown") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: result 'eradicated' is neither present nor none found.\n"
        '  Fix: If it means that the host is there, write in this layer: yes = ["yes", "y", "true", "1", "found", "granted", "detected", "present", "YOUR WORD"]; if that none was found: no = ["no", "n", "false", "0", "not found", "refused", "notdetected", "absent", "YOUR WORD"]'
    )


def test_place_of_a_finding_is_in_degrees(folder, found):
    utm = shapely.transform(np.array([shapely.Point(0, 0)]), lambda at: at + np.array([500_000, 5_200_000]))
    folder.write("infestations", [folder.square(0)], id="good", **GOOD)
    folder.write("surveyed_areas", utm, crs=32612, survey_date="2025-01-01", id="s")
    [finding] = found(folder.read(), "shape-wrong")
    # EPSG:32612 has its central meridian at 111 W; the latitude comes from pyproj.
    assert finding.longitude_deg == pytest.approx(-111.0, abs=1e-6)
    assert finding.latitude_deg == pytest.approx(46.953, abs=1e-3)
