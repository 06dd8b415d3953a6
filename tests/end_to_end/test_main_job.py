"""The main job on the sample season, as a newcomer's shell sees it."""

import csv
import hashlib
import json
import re
import sqlite3
from pathlib import Path

import pyogrio
import pytest
import shapely
from geojson_pydantic import FeatureCollection

from geo_scout.model.cautions import STANDING_CAUTIONS

FILES = {
    "calendar.csv", "calendar.svg", "call_list.csv", "districts.csv", "districts.svg", "findings.csv",
    "findings.json", "manifest.json", "map.html", "methods.csv", "methods.svg", "release_sites.csv",
    "release_sites.geojson", "releases.csv", "result.gpkg", "run_log.json", "scouting.csv", "sources.csv",
    "sources.geojson", "timelines.svg", "value_curves.svg", "visits.csv",
}  # fmt: skip
FIRST_COLUMNS = [
    "agent", "role", "rank", "site_id", "name", "purpose", "status", "score", "score_low", "score_high",
    "longitude_deg", "latitude_deg", "utm_zone", "easting_m", "northing_m", "gross_ha", "infested_ha",
    "cover_pct", "survey_date", "manager", "permission",
]  # fmt: skip


def digests(folder: Path) -> dict[str, str]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_everything_is_written_and_nothing_else(sample_run):
    assert {path.name for path in sample_run.iterdir()} == FILES
    assert {path.name for path in sample_run.parent.iterdir()} == {"outputs", "console.txt"}


def test_two_runs_give_identical_bytes_and_touch_no_input(geo_scout, sample_season, sample_run, tmp_path):
    inputs = [sample_season.parent / name for name in ("layers", "rasters", "weather", "agents")]
    before = [digests(folder) for folder in inputs]
    done = geo_scout("run", sample_season, "--outputs", tmp_path / "again", cwd=tmp_path)
    assert done.returncode == 0
    first, second = digests(sample_run), digests(tmp_path / "again")
    assert [name for name in FILES - {"run_log.json"} if first[name] != second[name]] == []
    assert [digests(folder) for folder in inputs] == before


@pytest.mark.parametrize("name", ["release_sites", "sources"])
def test_tables_hold_every_site_in_order(sample_run, name):
    table = rows(sample_run / f"{name}.csv")
    assert list(table[0])[: len(FIRST_COLUMNS)] == FIRST_COLUMNS
    for agent in {row["agent"] for row in table}:
        ours = [row for row in table if row["agent"] == agent]
        ranked = [row for row in ours if row["status"] == "ranked"]
        assert ours[: len(ranked)] == ranked
        assert [int(row["rank"]) for row in ranked] == list(range(1, len(ranked) + 1))
        key = [(-int(float(row["score"]) * 1e6 + 0.5), row["site_id"]) for row in ranked]
        assert key == sorted(key)
        left_out = ours[len(ranked) :]
        assert [row["site_id"] for row in left_out] == sorted(row["site_id"] for row in left_out)
        assert all(
            row["exclusion_codes"] and row["reasons"] and row["what_would_change_it"] for row in left_out
        )
        assert not any(row["exclusion_codes"] or row["reasons"] for row in ranked)


def test_points_add_up_so_that_the_csv_alone_says_why(sample_run):
    for row in rows(sample_run / "release_sites.csv"):
        points = [float(value) for name, value in row.items() if name.endswith("_points")]
        # Each printed number is rounded to six decimals.
        assert sum(points) == pytest.approx(float(row["score"]), abs=5e-6)


def test_csv_is_what_spreadsheets_open(sample_run):
    content = (sample_run / "sources.csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbf")
    assert content.count(b"\n") == content.count(b"\r\n")


@pytest.mark.parametrize("name", ["release_sites", "sources"])
def test_geojson_follows_rfc_7946(sample_run, name):
    content = json.loads((sample_run / f"{name}.geojson").read_text(encoding="utf-8"))
    assert "crs" not in content
    collection = FeatureCollection(**content)
    assert len(collection.features) == len(rows(sample_run / f"{name}.csv"))
    for feature in content["features"]:
        shape = shapely.geometry.shape(feature["geometry"])
        polygons = getattr(shape, "geoms", [shape])
        assert all(polygon.exterior.is_ccw for polygon in polygons)
        assert -180 <= shape.bounds[0] <= shape.bounds[2] <= 180


def test_geopackage_carries_the_same_rows(sample_run):
    layers = {name for name, _ in pyogrio.list_layers(sample_run / "result.gpkg")}
    assert layers == {
        "release_sites", "sources", "patches", "releases", "visits", "populations", "districts", "crew_bases",
        "findings",
    }  # fmt: skip
    frame = pyogrio.read_dataframe(sample_run / "result.gpkg", layer="release_sites")
    table = rows(sample_run / "release_sites.csv")
    assert list(frame.columns[:-1]) == list(table[0])
    assert [f"{score:.6f}" for score in frame["score"]] == [row["score"] for row in table]
    with sqlite3.connect(sample_run / "result.gpkg") as base:
        stamps = {row[0] for row in base.execute("select last_change from gpkg_contents")}
    assert stamps == {"2026-11-01T00:00:00.000Z"}


def test_manifest_says_what_went_in(sample_run, sample_season):
    manifest = json.loads((sample_run / "manifest.json").read_text(encoding="utf-8"))
    for one in manifest["inputs"]:
        path = sample_season.parent / one["name"]
        assert hashlib.sha256(path.read_bytes()).hexdigest() == one["sha256"]
    assert {"season.toml", "agents/ashthorn_stem_weevil.toml"} <= {one["name"] for one in manifest["inputs"]}
    assert manifest["settings"]["rules.join_m"] == {"value": 100.0, "default": False}
    assert manifest["settings"]["rules.max_treated_share"]["default"] is True
    assert manifest["settings"]["season.as_of"] == {"value": "2026-11-01", "default": False}
    assert manifest["settings"]["crews.0.name"]["default"] is False
    counted = {(one["agent"], one["role"]): one["ranked"] for one in manifest["counts"]["rankings"]}
    for role, name in (("release", "release_sites"), ("source", "sources")):
        for agent in ("ashthorn stem weevil", "brindlebell leaf beetle"):
            table = rows(sample_run / f"{name}.csv")
            ranked = [row for row in table if row["agent"] == agent and row["status"] == "ranked"]
            assert counted[agent, role] == len(ranked)


def test_every_output_for_people_says_stop_and_ask(sample_run):
    question = "STOP AND ASK"
    tables = ("release_sites.csv", "sources.csv", "calendar.csv", "calendar.svg", "call_list.csv")
    layers = ("release_sites.geojson", "sources.geojson")
    for name in (*tables, *layers, "findings.json", "manifest.json", "map.html"):
        assert question in (sample_run / name).read_text(encoding="utf-8"), name
    assert question in (sample_run.parent / "console.txt").read_text(encoding="utf-8")


def test_standing_cautions_go_with_map_findings_and_console(sample_run):
    console = (sample_run.parent / "console.txt").read_text(encoding="utf-8")
    findings = json.loads((sample_run / "findings.json").read_text(encoding="utf-8"))
    assert findings["cautions"] == list(STANDING_CAUTIONS)
    assert all(caution in console for caution in STANDING_CAUTIONS)


def test_sample_shows_every_kind_of_reason(sample_run):
    codes = {
        code
        for name in ("release_sites", "sources")
        for row in rows(sample_run / f"{name}.csv")
        for code in row["exclusion_codes"].split("; ")
    } - {""}
    assert codes == {
        "agent-confirmed", "agent-not-confirmed", "legal-forbidden", "land-forbidden", "permission-refused",
        "too-close", "too-small", "too-soon-after-release", "too-steep", "treated", "treatment-planned",
    }  # fmt: skip


def test_public_copies_hold_no_owner(geo_scout, sample_season, sample_run, tmp_path):
    done = geo_scout(
        "run", sample_season, "--outputs", tmp_path / "outputs", "--audience", "public", cwd=tmp_path
    )
    assert done.returncode == 0
    crew = rows(sample_run / "release_sites.csv")
    managers = {row["manager"] for row in crew} - {""}
    contacts = {row["contact"] for row in rows(sample_run / "call_list.csv")} - {""}
    askers = {row["requested_by"] for row in rows(sample_run / "call_list.csv")} - {""}
    assert managers
    assert contacts
    texts = {path.name: path.read_bytes() for path in (tmp_path / "outputs").iterdir()}
    assert not {"call_list.csv", "findings.csv", "findings.json"} & set(texts)
    words = managers | contacts | askers | {"permission-refused", "land-forbidden", "Marrock depot"}
    assert [(name, word) for name, text in texts.items() for word in words if word.encode() in text] == []


def test_explain_prints_the_chain(geo_scout, sample_season, sample_run, tmp_path):
    best = rows(sample_run / "release_sites.csv")[0]
    done = geo_scout("explain", sample_season, best["site_id"], cwd=tmp_path)
    assert done.returncode == 0
    assert f"Score {best['score']}" in done.stdout
    assert re.search(r"ha gross x [\d.]+ % cover", done.stdout)
    ours = [row for row in rows(sample_run / "release_sites.csv") if row["agent"] == best["agent"]]
    ranked = sum(row["status"] == "ranked" for row in ours)
    assert f"Rank 1 of {ranked} ranked, {len(ours) - ranked} left out" in done.stdout


def test_explain_of_an_unknown_site_helps(geo_scout, sample_season, tmp_path):
    done = geo_scout("explain", sample_season, "asht-q0150", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr == "there is no site 'asht-q0150' in this season.\n  Fix: did you mean ASHT-Q0150?\n"


def test_check_writes_nothing_and_says_what_it_saw(geo_scout, sample_season, tmp_path):
    done = geo_scout("check", sample_season, cwd=tmp_path)
    assert done.returncode == 0
    assert list(tmp_path.iterdir()) == []
    assert done.stdout.startswith("infestations: 0 stop, ")
    assert "\n  caution  Q0175: Set aside: survey_date 2027-06-03 is after 2026-11-01" in done.stdout
    assert "\nNot looked at:\n- " in done.stdout


def test_start_and_run_in_an_empty_folder(shell, tmp_path):
    assert shell("start", "x", cwd=tmp_path).returncode == 0
    done = shell("run", "x/season.toml", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "x" / "outputs" / "map.html").exists()
    again = shell("start", "x", cwd=tmp_path)
    assert again.returncode == 2


def test_no_network_and_no_other_gis_installation_is_asked_for(shell, tmp_path):
    """A sitecustomize that refuses every connection stands in front of the run, and GDAL's variables lead astray."""
    (tmp_path / "foreign").mkdir()
    foreign = str(tmp_path / "foreign")
    shell("start", "x", cwd=tmp_path)
    (tmp_path / "sitecustomize.py").write_text(
        "import socket\n\n"
        "def refuse(*args, **kwargs):\n    raise RuntimeError('the network was asked for')\n\n"
        "socket.socket.connect = refuse\nsocket.getaddrinfo = refuse\nsocket.create_connection = refuse\n",
        encoding="utf-8",
    )
    environment = {
        "PYTHONPATH": str(tmp_path),
        "http_proxy": "http://127.0.0.1:9",
        "https_proxy": "http://127.0.0.1:9",
        **dict.fromkeys(("PROJ_DATA", "PROJ_LIB", "GDAL_DATA"), foreign),
    }
    done = shell("run", "x/season.toml", cwd=tmp_path, **environment)
    assert done.returncode == 0, done.stderr


def test_every_site_left_out_ends_with_three_and_still_writes(geo_scout, tmp_path):
    geo_scout("start", "x", cwd=tmp_path)
    season = tmp_path / "x" / "season.toml"
    season.write_text(
        season.read_text(encoding="utf-8").replace("min_infested_ha = 0.2", "min_infested_ha = 1000"),
        encoding="utf-8",
    )
    done = geo_scout("run", season, cwd=tmp_path)
    assert done.returncode == 3
    assert "left out by: too-small 6" in done.stdout
    assert (tmp_path / "x" / "outputs" / "release_sites.csv").exists()


def test_mistakes_leave_earlier_outputs_untouched(geo_scout, tmp_path):
    geo_scout("start", "x", cwd=tmp_path)
    geo_scout("run", "x/season.toml", cwd=tmp_path)
    before = digests(tmp_path / "x" / "outputs")
    season = tmp_path / "x" / "season.toml"
    season.write_text(season.read_text(encoding="utf-8").replace("join_m", "jion_m"), encoding="utf-8")
    done = geo_scout("run", season, cwd=tmp_path)
    assert done.returncode == 2
    assert "did you mean 'join_m'?" in done.stderr
    assert digests(tmp_path / "x" / "outputs") == before


def test_help_lists_the_commands(geo_scout, tmp_path):
    done = geo_scout("--help", cwd=tmp_path)
    assert done.returncode == 0
    assert all(name in done.stdout for name in ("check", "explain", "run", "start"))
