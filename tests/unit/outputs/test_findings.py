import json

from geo_scout.model.finding import Finding
from geo_scout.outputs.findings import findings_table, write_findings_json


def test_one_row_per_finding_with_every_field():
    finding = Finding("undated", "caution", "infestations", "K7", "no date.", "Fill it in.", 1.5, 2.5)
    table = findings_table([finding])
    assert table.iloc[0].to_dict() == {
        "code": "undated", "grade": "caution", "layer": "infestations", "feature": "K7", "what": "no date.",
        "fix": "Fill it in.", "longitude_deg": 1.5, "latitude_deg": 2.5,
    }  # fmt: skip
    assert list(findings_table([]).columns) == list(table.columns)


def test_json_carries_questions_cautions_and_findings(sample, tmp_path):
    write_findings_json(tmp_path / "findings.json", sample)
    content = json.loads((tmp_path / "findings.json").read_text(encoding="utf-8"))
    assert len(content["findings"]) == len(sample.findings)
    assert content["stop_and_ask"] == [question.text() for question in sample.questions]
