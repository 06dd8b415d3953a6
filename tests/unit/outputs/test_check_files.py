import csv
import datetime as dt
import json
from pathlib import Path

import geopandas as gpd
import pytest

from geo_scout.errors import OutputsBlocked
from geo_scout.model.finding import Finding
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.outputs.check_files import write_check

FINDINGS = [
    Finding("position-far", "caution", "releases", "R7", "=it is far.", "Correct it.", -110.5, 47.5),
    Finding("missing-crs", "stop", "roads", "", "nobody says where.", "Ask."),
]


@pytest.fixture
def season() -> Season:
    settings = SeasonSettings.model_validate(
        {
            "format": 1,
            "season": {"agents": ["a.toml"], "title": "Quillen"},
            "layers": {"infestations": {"path": "x.gpkg"}},
            "crews": [{"name": "Yard", "base_longitude_deg": -109.6, "base_latitude_deg": 47.1}],
        }
    )
    return Season(Path("season.toml"), settings, (), dt.date(2026, 11, 1), frozenset())


def test_table_json_and_map_layer(season, tmp_path):
    folder = tmp_path / "check"
    write_check(folder, season, FINDINGS, ["the sky."])
    names = {path.name for path in folder.iterdir()}
    assert names == {"findings.csv", "findings.json", "findings.geojson", "manifest.json"}
    with (folder / "findings.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["feature"] for row in rows] == ["R7", ""]
    assert rows[0]["what"] == "'=it is far."
    content = json.loads((folder / "findings.json").read_text(encoding="utf-8"))
    assert content["counts"] == {"stop": 1, "caution": 1, "note": 0}
    layer = gpd.read_file(folder / "findings.geojson")
    assert len(layer) == 1
    assert (layer.geometry.iloc[0].x, layer.geometry.iloc[0].y) == (-110.5, 47.5)
    assert layer.loc[0, ["grade", "layer", "what"]].tolist() == ["caution", "releases", "=it is far."]


def test_without_a_place_the_layer_is_empty_and_an_earlier_check_is_replaced(season, tmp_path):
    folder = tmp_path / "check"
    write_check(folder, season, FINDINGS, [])
    write_check(folder, season, FINDINGS[1:], [])
    content = json.loads((folder / "findings.geojson").read_text(encoding="utf-8"))
    assert (content["type"], content["features"]) == ("FeatureCollection", [])
    assert [path.name for path in tmp_path.iterdir()] == ["check"]


@pytest.mark.parametrize(
    ("manifest", "said"),
    [
        (
            '{"written_by": "geo_scout", "title": "a run"}',
            "the results of a run; a check does not replace them.\n  Fix: name another folder, with --outputs or as [season] outputs.",
        ),
        *(
            (
                manifest,
                "files geo_scout did not write (manifest.json, map.html); it will not replace them.\n"
                "  Fix: name a new folder in [season] outputs or --outputs.",
            )
            for manifest in ("not JSON", "[]")
        ),
    ],
)
def test_results_of_a_run_and_files_of_others_are_never_replaced(season, tmp_path, manifest, said):
    (tmp_path / "manifest.json").write_text(manifest, encoding="utf-8")
    (tmp_path / "map.html").write_text("kept", encoding="utf-8")
    with pytest.raises(OutputsBlocked) as raised:
        write_check(tmp_path, season, FINDINGS, [])
    assert str(raised.value) == f"outputs: {tmp_path} holds {said}"
    assert (tmp_path / "map.html").read_text(encoding="utf-8") == "kept"
