import numpy as np
import pytest


def read_cover(folder, cover, units=None, **columns):
    folder.write(
        "infestations",
        [folder.square(n) for n in range(len(cover))],
        host="ashthorn",
        cover=cover,
        survey_date="2025-01-01",
        **columns,
    )
    if units:
        folder.layers["infestations"]["units"] = {"cover": units}
    return folder.read()


def shares(layers):
    frame = layers.vectors["infestations"]
    return frame[["cover_share", "cover_low_share", "cover_high_share"]].to_numpy().tolist()


@pytest.mark.parametrize(
    ("units", "cover", "expected"),
    [
        ("percent", 40.0, 0.4),
        ("share", 0.4, 0.4),
        ("percent", "40 %", 0.4),
        ("percent", 100, 1.0),
        ("share", 0, 0.0),
    ],
)
def test_direct_estimates_have_no_width(folder, units, cover, expected):
    layers = read_cover(folder, [cover], units)
    assert shares(layers) == [[expected] * 3]
    assert layers.vectors["infestations"]["cover_scheme"].tolist() == [units]
    assert layers.findings == ()


def test_classes_keep_their_limits(folder):
    layers = read_cover(folder, ["2", " 6 "], "class:daubenmire")
    # Daubenmire 1959: class 2 is 5-25 percent, class 6 is 95-100 percent.
    assert shares(layers) == [[0.15, 0.05, 0.25], [0.975, 0.95, 1.0]]
    assert layers.vectors["infestations"]["cover_scheme"].tolist() == ["daubenmire"] * 2


def test_rows_overrule_the_layer(folder):
    layers = read_cover(
        folder,
        ["30", "0.3", "3", "+"],
        "percent",
        cover_scheme=["", "Share", "Daubenmire", "class:Braun Blanquet"],
    )
    assert [row[0] for row in shares(layers)] == [0.3, 0.3, 0.375, 0.005]
    schemes = layers.vectors["infestations"]["cover_scheme"].tolist()
    assert schemes == ["percent", "share", "daubenmire", "braun-blanquet"]


def test_percent_is_the_default_and_said(folder, told):
    layers = read_cover(folder, [40.0])
    assert shares(layers)[0][0] == 0.4
    assert told(layers, "unit-assumed") == (
        "note: layers.infestations\n"
        "  no unit of cover is stated, so it was read as percent, the default.\n"
        '  Fix: To be sure of it, add: units = {cover = "percent"}'
    )


@pytest.mark.parametrize(
    ("units", "cover", "sentence"),
    [
        ("percent", 140.0, "cover is 140 percent; it can be 0 to 100."),
        ("percent", -1.0, "cover is -1 percent; it can be 0 to 100."),
        ("share", 35.0, "cover is 35 as a share; it can be 0 to 1."),
    ],
)
def test_impossible_cover_is_set_aside(folder, told, units, cover, sentence):
    layers = read_cover(folder, [cover, 0.5], units)
    assert layers.vectors["infestations"]["row"].tolist() == [2]
    assert told(layers, "cover-impossible") == (
        "caution: layers.infestations feature row 1\n"
        f"  Set aside: {sentence}\n"
        "  Fix: Correct it, or state the layer's unit of cover."
    )


def test_unreadable_cover_is_unknown(folder, found):
    layers = read_cover(folder, ["dense", "7", "50"], "percent", cover_scheme=["", "daubenmire", ""])
    assert np.isnan(shares(layers)[:2]).all()
    assert layers.vectors["infestations"]["cover_scheme"].tolist() == ["", "", "percent"]
    assert [finding.what for finding in found(layers, "cover-unreadable")] == [
        "cover 'dense' is no number; it is taken as unknown.",
        "cover '7' is no class of daubenmire; it is taken as unknown.",
    ]


def test_unknown_scheme(folder, told):
    layers = read_cover(folder, ["3", "50"], "percent", cover_scheme=["daubenmeyer", ""])
    assert np.isnan(shares(layers)[0]).all()
    assert told(layers, "cover-scheme-unknown") == (
        "caution: layers.infestations\n"
        "  'daubenmeyer' is no cover scheme (percent, share, daubenmire, braun-blanquet); cover is unknown "
        "for 1 feature (row 1).\n"
        "  Fix: Write one of these. Did you mean 'daubenmire'?"
    )


def test_blank_cover_is_unknown_and_counted(folder, told):
    layers = read_cover(folder, ["", "50"], "percent", id=["a", "b"])
    assert np.isnan(shares(layers)[0]).all()
    assert told(layers, "cover-missing") == (
        "caution: layers.infestations\n"
        "  cover is blank for 1 feature (a); their infested area is unknown.\n"
        "  Fix: Fill in an estimate in percent, even a rough one."
    )


def test_none_found_needs_no_cover(folder, found):
    layers = read_cover(folder, ["", "50"], "percent", result=["none found", ""])
    assert found(layers, "cover-missing") == []


def test_shares_read_as_percent_are_doubted_whether_stated_or_not(folder, told, found):
    assert told(read_cover(folder, [0.4, 0.9]), "cover-may-be-share") == (
        "caution: layers.infestations\n"
        "  no cover is above 0.9 percent, so these may be shares of 1.\n"
        '  Fix: If they are, write: units = {cover = "share"}'
    )
    assert len(found(read_cover(folder, [0.4, 0.9], "percent"), "cover-may-be-share")) == 1


def test_unit_that_does_not_exist_stops(folder, told):
    layers = read_cover(folder, [40.0], "class:daubenmier")
    assert not layers.has("infestations")
    assert told(layers, "unit-unknown") == (
        "stop: layers.infestations\n"
        "  'class:daubenmier' is no unit of cover; it can be percent, share, class:daubenmire, "
        "class:braun-blanquet.\n"
        "  Fix: For instance: units = {cover = \"percent\"} Did you mean 'class:daubenmire'?"
    )


def test_key_without_unit_stops(folder, told):
    folder.write("infestations", [folder.square()], host="ashthorn", cover=1.0)
    folder.layers["infestations"]["units"] = {"covr": "percent"}
    assert told(folder.read(), "unit-unknown") == (
        "stop: layers.infestations\n"
        "  `units` names 'covr', which has no unit of its own; it can name area, cover.\n"
        "  Fix: For instance: units = {cover = \"percent\"} Did you mean 'cover'?"
    )


def test_classes_of_the_season_itself(folder):
    folder.cover_schemes = {"Crew classes": {"trace": [0, 0.5, 1], "Low": [1, 10, 25], "high": [25, 60, 100]}}
    layers = read_cover(folder, ["trace", "LOW ", "high", "none"], "class:Crew classes")
    expected = [[0.005, 0.0, 0.01], [0.1, 0.01, 0.25], [0.6, 0.25, 1.0], [np.nan] * 3]
    assert np.array(shares(layers)) == pytest.approx(np.array(expected), nan_ok=True)
    assert layers.vectors["infestations"]["cover_scheme"].tolist() == ["Crew classes"] * 3 + [""]


def test_rows_name_the_season_s_own_scheme_too(folder, told):
    folder.cover_schemes = {"crew_classes": {"1": [0, 10, 20]}}
    layers = read_cover(
        folder, ["1", "1", "1"], "percent", cover_scheme=["Crew-Classes", "daubenmire", "crew"]
    )
    assert [row[0] for row in shares(layers)][:2] == [0.1, 0.025]
    assert told(layers, "cover-scheme-unknown") == (
        "caution: layers.infestations\n"
        "  'crew' is no cover scheme (percent, share, daubenmire, braun-blanquet, crew_classes); cover is unknown "
        "for 1 feature (row 3).\n"
        "  Fix: Write one of these."
    )


@pytest.mark.parametrize("kind", [np.int32, np.float64])
def test_classes_stored_as_numbers(folder, kind):
    layers = read_cover(folder, np.array([2, 6], dtype=kind).tolist(), "class:daubenmire")
    assert [row[0] for row in shares(layers)] == [0.15, 0.975]


def test_decimal_commas_in_percent(folder, told):
    layers = read_cover(folder, ["12,5 %", "7"], "percent")
    assert [row[0] for row in shares(layers)] == [0.125, 0.07]
    assert "numbers in cover are written with a decimal comma" in told(layers, "comma-read")


def test_a_few_shares_among_percents_are_doubted(folder, told, found):
    assert told(read_cover(folder, [0.5, 60, 1]), "cover-mixed") == (
        "caution: layers.infestations\n"
        "  cover of 1 feature (row 1) is below 1 percent, beside others of up to 60 percent; if some were written "
        "as shares of 1, they count a hundred times too little.\n"
        '  Fix: If they were, correct them; if all is in percent, say so: units = {cover = "percent"}'
    )
    assert found(read_cover(folder, [0.5, 60, 1], "percent"), "cover-mixed") == []
    assert found(read_cover(folder, [0.0, 60, 1]), "cover-mixed") == []
    assert found(read_cover(folder, [0.5, 9, 1]), "cover-mixed") == []
