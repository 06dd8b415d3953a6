"""The whole room on files: the sample's own, hostile ones, and what is never touched."""

import hashlib
import random
from pathlib import Path

import pyogrio
import pytest

from geo_scout.layers.inspect import inspect_files
from geo_scout.season import read_season


def test_the_sample_layers_are_recognised_fully(sample_season):
    """Every layer, and every column the sample's own season file maps, is found by meaning alone."""
    season = read_season(sample_season)
    folder = sample_season.parent
    found = inspect_files([folder / name for name in ("layers", "rasters", "weather")], folder / "draft")
    given = season.settings.layers.given()
    assert [layer.kind for layer in found.layers] == list(given)
    assert found.unused == ()
    for layer in found.layers:
        table = given[layer.kind]
        assert layer.path.relative_to(folder).as_posix() == table.path
        if layer.vector is None:
            continue
        assert layer.vector.layer == (table.layer or "")
        guessed = {guess.ours: guess.theirs for guess in layer.columns}
        columns = pyogrio.read_info(layer.path, layer=table.layer)["fields"]
        named = {name: name for name in columns if name not in table.columns.values()}
        assert guessed == named | table.columns, layer.kind
    assert [(one.name, one.host) for one in found.agents] == [
        (agent.name, agent.host) for agent in season.agents
    ]
    assert {one.name for one in found.land_classes} == set(season.rules.land_classes)
    assert {one.name for one in found.jurisdictions} == {
        one.jurisdiction for one in season.agents[0].legal_status
    }


def test_what_the_sample_says_of_units_dates_and_words_is_found(sample_season):
    season = read_season(sample_season)
    folder = sample_season.parent
    found = inspect_files([folder / name for name in ("layers", "rasters", "weather")], folder / "draft")
    guessed = {
        (layer.kind, setting.key): setting.value for layer in found.layers for setting in layer.settings
    }
    layers = season.settings.layers
    assert layers.visits is not None
    assert layers.requests is not None
    assert guessed == {
        ("infestations", "units.cover"): layers.infestations.units["cover"],
        # The sample's column of areas says no unit, so only its owner can.
        ("infestations", "units.area"): "?",
        ("infestations", "point_area_ha"): None,
        ("visits", "yes"): list(layers.visits.yes),
        ("visits", "no"): list(layers.visits.no),
        ("requests", "date_format"): layers.requests.date_format,
        ("elevation", "vertical_unit"): "m",
        ("climate_elevation", "vertical_unit"): "m",
        ("weather", "units.temperature"): "degc",
    }


ENDINGS = ("shp", "gpkg", "geojson", "tif", "csv", "xlsx", "zip", "kml", "gpx", "gdb", "nc", "asc", "vrt", "ods",
           "sqlite", "fgb", "tab", "img", "xlsm", "txt", "json")  # fmt: skip


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    folder = tmp_path / "hostile ö"
    folder.mkdir()
    noise = random.Random(3)
    for ending in ENDINGS:
        (folder / f"noise.{ending}").write_bytes(noise.randbytes(3000))
        (folder / f"empty.{ending}").touch()
    (folder / "header.csv").write_text("cover,area\n", encoding="utf-8")
    (folder / "words.txt").write_text("only words\nand more\n", encoding="utf-8")
    (folder / "none.geojson").write_text('{"type": "FeatureCollection", "features": []}', encoding="utf-8")
    (folder / "nul.csv").write_bytes(b"cover,area\n1,\x002\n")
    (folder / "huge.csv").write_text(f"cover,area\n{'9' * 400},1e999\n-inf,nan\n", encoding="utf-8")
    (folder / "evil.csv").write_text('weed"\\,cover\n"a ""b"" \u202e",5\n', encoding="utf-8")
    return folder


def test_hostile_files_are_told_and_never_raise(hostile):
    found = inspect_files([hostile], hostile / "draft")
    assert found.layers == ()
    told = {one.path.name: one.why for one in found.unused}
    assert set(told) == {path.name for path in hostile.iterdir()}
    assert {told[f"empty.{ending}"] for ending in ENDINGS} == {"the file is empty."}
    assert told["noise.tif"] == "it is no map, table or raster that can be read, or it is damaged."
    assert told["noise.zip"] == "'noise.zip' is not a zip file, is damaged, or only a part of it is there."
    assert told["none.geojson"] == "it holds no row."
    assert all(told.values())


def test_no_file_is_touched(hostile, sample_season):
    def digests(folder: Path) -> dict[str, str]:
        return {
            path.name: hashlib.sha256(path.read_bytes()).hexdigest()
            for path in folder.rglob("*")
            if path.is_file()
        }

    folders = [hostile, sample_season.parent / "layers", sample_season.parent / "rasters"]
    before = [digests(folder) for folder in folders]
    inspect_files(folders, hostile / "draft")
    assert [digests(folder) for folder in folders] == before
