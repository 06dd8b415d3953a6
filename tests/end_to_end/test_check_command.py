"""`geo-scout check` as a shell sees it: words, JSON, files, exit codes, and planted faults in a copied season."""

import json
import shutil
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import rasterio


@pytest.fixture
def season(geo_scout, tmp_path) -> Path:
    """Return a fresh copy of the small season that `start` makes."""
    assert geo_scout("start", "x", cwd=tmp_path).returncode == 0
    return tmp_path / "x" / "season.toml"


def test_words_and_json_say_the_same(geo_scout, season, tmp_path):
    told = geo_scout("check", season, cwd=tmp_path)
    asked = geo_scout("check", season, "--json", cwd=tmp_path)
    assert (told.returncode, asked.returncode) == (0, 0)
    content = json.loads(asked.stdout)
    assert asked.stderr == told.stderr == ""
    counts = content["counts"]
    assert (
        f"In all: {counts['stop']} stop, {counts['caution']} caution, {counts['note']} note." in told.stdout
    )
    for finding in content["findings"]:
        assert finding["what"] in told.stdout
    for one in content["not_looked_at"]:
        assert f"- {one}" in told.stdout


def test_files_are_written_whole_and_a_run_is_never_replaced(geo_scout, season, tmp_path):
    assert geo_scout("check", season, "--outputs", "seen", cwd=tmp_path).returncode == 0
    names = {path.name for path in (tmp_path / "seen").iterdir()}
    assert names == {"findings.csv", "findings.json", "findings.geojson", "manifest.json"}
    assert geo_scout("check", season, "--outputs", "seen", cwd=tmp_path).returncode == 0
    assert geo_scout("run", season, "--outputs", "results", cwd=tmp_path).returncode == 0
    refused = geo_scout("check", season, "--outputs", "results", cwd=tmp_path)
    assert refused.returncode == 2
    assert refused.stderr == (
        "outputs: results holds the results of a run; a check does not replace them.\n"
        "  Fix: name another folder, with --outputs or as [season] outputs.\n"
    )
    assert (tmp_path / "results" / "map.html").exists()


@pytest.fixture
def sample_copy(sample_season, tmp_path) -> Path:
    shutil.copytree(sample_season.parent, tmp_path / "s", ignore=shutil.ignore_patterns("outputs*"))
    return tmp_path / "s" / "season.toml"


def _check(geo_scout, season: Path) -> tuple[int, list[dict]]:
    done = geo_scout("check", season, "--json", cwd=season.parent)
    assert "Traceback" not in done.stderr
    return done.returncode, json.loads(done.stdout)["findings"]


def test_a_damaged_tile_under_a_site_stops_in_words(geo_scout, sample_copy):
    path = sample_copy.parent / "rasters" / "elevation.tif"
    with rasterio.open(path) as file:
        cells, profile = file.read(), file.profile
    profile.update(tiled=True, blockxsize=64, blockysize=64, compress="deflate")
    rough = np.random.default_rng(1).integers(0, 90, cells.shape).astype(cells.dtype)
    with rasterio.open(path, "w", **profile) as file:
        file.write(cells + rough)
    whole = bytearray(path.read_bytes())
    middle = len(whole) // 2
    for at in range(middle, middle + len(whole) // 5):
        whole[at] ^= 0x5A
    path.write_bytes(whole)
    code, findings = _check(geo_scout, sample_copy)
    stops = [finding for finding in findings if finding["grade"] == "stop"]
    assert code == 2
    assert [stop["layer"] for stop in stops] == ["elevation"]
    assert stops[0]["what"].startswith(
        ("'elevation.tif' cannot be read at column ", "'rasters/elevation.tif' cannot")
    )
    done = geo_scout("run", sample_copy, cwd=sample_copy.parent)
    assert done.returncode == 2
    assert "stop: layers.elevation" in done.stderr
    assert not (sample_copy.parent / "outputs").exists()


@pytest.mark.parametrize("kept", [0, 100, 0.5])
def test_cut_off_rasters_stop_in_words(geo_scout, sample_copy, kept):
    path = sample_copy.parent / "rasters" / "tmin.tif"
    whole = path.read_bytes()
    path.write_bytes(whole[: kept if isinstance(kept, int) else int(len(whole) * kept)])
    code, findings = _check(geo_scout, sample_copy)
    assert code == 2
    assert {(one["layer"], one["grade"]) for one in findings if one["grade"] == "stop"} == {("tmin", "stop")}


def test_sites_beyond_a_raster_are_found_with_their_places(geo_scout, sample_copy):
    """Cut the elevation in half: sites east of the cut lie outside, by geopandas as well."""
    path = sample_copy.parent / "rasters" / "elevation.tif"
    with rasterio.open(path) as file:
        cells, profile, bounds = file.read(), file.profile, file.bounds
        crs = file.crs.to_wkt()
    half = cells.shape[2] // 2
    profile.update(width=half)
    with rasterio.open(path, "w", **profile) as file:
        file.write(cells[:, :, :half])
        edge = file.bounds.right
    _, findings = _check(geo_scout, sample_copy)
    outside = [one for one in findings if one["code"] == "site-outside-raster"]
    *outside, counted = outside
    assert len(outside) == 100
    assert counted["longitude_deg"] is None
    places = gpd.GeoSeries(
        gpd.points_from_xy(
            [one["longitude_deg"] for one in outside], [one["latitude_deg"] for one in outside]
        ),
        crs=4326,
    ).to_crs(crs)
    assert (places.x > edge).all()
    assert edge < bounds.right


def test_the_findings_of_a_run_hold_those_of_the_check(geo_scout, sample_run, sample_season, tmp_path):
    content = json.loads(geo_scout("check", sample_season, "--json", cwd=tmp_path).stdout)
    of_run = json.loads((sample_run / "findings.json").read_text(encoding="utf-8"))["findings"]
    # Which criteria order the ranked sites alike is known once they are ranked.
    assert content["findings"] == [one for one in of_run if one["layer"] != "criteria"]
