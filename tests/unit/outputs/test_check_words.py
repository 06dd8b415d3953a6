import json

from geo_scout.model.finding import Finding
from geo_scout.outputs.check_words import check_as_json, json_text, tell_check

FINDINGS = [
    Finding("position-far", "caution", "releases", "R7", "it is far.", "Correct it.", -110.123456, 47.5),
    Finding("missing-crs", "stop", "roads", "", "nobody says where.", "Ask."),
    Finding("record-repeated", "note", "releases", "", "1 record twice.", "Take one out."),
]


def test_findings_by_layer_with_counts_and_what_was_not_looked_at():
    assert tell_check(FINDINGS, ["the sky.", "the sea."]) == (
        "releases: 0 stop, 1 caution, 1 note\n"
        "  caution  R7: it is far. [-110.12346, 47.50000]\n"
        "           Fix: Correct it.\n"
        "  note     1 record twice.\n"
        "           Fix: Take one out.\n"
        "\n"
        "roads: 1 stop, 0 caution, 0 note\n"
        "  stop     nobody says where.\n"
        "           Fix: Ask.\n"
        "\n"
        "In all: 1 stop, 1 caution, 1 note.\n"
        "\n"
        "Not looked at:\n"
        "- the sky.\n"
        "- the sea."
    )


def test_json_holds_the_same():
    content = json.loads(json_text(check_as_json("Quillen", FINDINGS, ["the sky."])))
    assert content["title"] == "Quillen"
    assert content["counts"] == {"stop": 1, "caution": 1, "note": 1}
    assert [one["feature"] for one in content["findings"]] == ["R7", "", ""]
    assert content["findings"][0]["longitude_deg"] == -110.123456
    assert content["findings"][1]["longitude_deg"] is None
    assert content["not_looked_at"] == ["the sky."]
