import datetime as dt
import os
from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes
from geo_scout.model.problem import Problem
from geo_scout.model.season import Season
from geo_scout.season import read, read_season

SEASON = """format = 1

[season]
title = "Quillen Valley"
agents = ["agents/beetle.toml", "agents/weevil.toml"]
start = 2027-11-01
end = 2028-03-15

[layers.infestations]
path = "layers/weeds.gdb"
columns = {host = "WEED"}

[[crews]]
name = "Ford"
base_longitude_deg = -109
base_latitude_deg = 47.1

[rules]
join_m = 60
land_classes = {crop = "forbid"}

[criteria.release.host_area]
curve = {shape = "falling", from = 3, to = 3}
"""

PROFILE = """format = 1
name = "NAME"
host = "brindlebell"

[establishment]
prior_share = {value = 0.55, source = "field notes 2024"}
first_detectable_years = 1
"""


def season_in(folder: Path, season: str | bytes = SEASON) -> Path:
    for name in ("beetle", "weevil"):
        path = folder / "agents" / f"{name}.toml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(PROFILE.replace("NAME", f"brindle {name}"), encoding="utf-8")
    (folder / "layers/weeds.gdb").mkdir(parents=True)
    stored = season if isinstance(season, bytes) else season.encode()
    (folder / "season.toml").write_bytes(stored)
    return folder / "season.toml"


def problems_of(path: Path) -> list[Problem]:
    with pytest.raises(InputMistakes) as raised:
        read_season(path)
    return [problem for problem in raised.value.mistakes if isinstance(problem, Problem)]


def test_a_right_season_is_read_with_its_defaults(tmp_path: Path) -> None:
    season = read_season(str(season_in(tmp_path)))
    assert season.path == tmp_path / "season.toml"
    assert season.settings.season.title == "Quillen Valley"
    assert season.rules.join_m == 60
    assert season.rules.max_patch_km == 5
    assert season.rules.land_classes == {"crop": "forbid"}
    assert season.settings.crews[0].base_longitude_deg == -109
    assert [agent.name for agent in season.agents] == ["brindle beetle", "brindle weevil"]
    assert season.agents[0].establishment.prior_share.value == 0.55
    assert season.agents[0].establishment.prior_share.source == "field notes 2024"
    detectable = season.agents[1].establishment.first_detectable_years
    assert detectable is not None
    assert (detectable.value, detectable.source) == (1, "")
    used = season.settings.criteria.of("release")
    assert list(used) == ["host_area"]
    assert used["host_area"].curve.start == used["host_area"].curve.end == 3
    assert used["host_area"].weight == 3


def test_the_given_keys_are_those_of_the_file(tmp_path: Path) -> None:
    season = read_season(season_in(tmp_path))
    assert season.given == {
        *("format", "season", "season.title", "season.agents", "season.start", "season.end"),
        *("layers", "layers.infestations", "layers.infestations.path"),
        *("layers.infestations.columns", "layers.infestations.columns.host"),
        *("crews", "crews.0", "crews.0.name", "crews.0.base_longitude_deg", "crews.0.base_latitude_deg"),
        *("rules", "rules.join_m", "rules.land_classes", "rules.land_classes.crop"),
        *("criteria", "criteria.release", "criteria.release.host_area", "criteria.release.host_area.curve"),
        *(f"criteria.release.host_area.curve.{key}" for key in ("shape", "from", "to")),
    }


def test_as_of_is_today_only_when_the_file_states_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(read, "today", lambda: dt.date(2031, 2, 3))
    path = season_in(tmp_path)
    assert read_season(path).as_of == dt.date(2031, 2, 3)
    path.write_text(SEASON.replace("start =", "as_of = 2026-11-01\nstart ="), encoding="utf-8")
    assert read_season(path).as_of == dt.date(2026, 11, 1)


def test_today_is_a_day_of_this_clock() -> None:
    before = dt.datetime.now().astimezone().date()
    assert before <= read.today() <= dt.datetime.now().astimezone().date()


@pytest.mark.parametrize(
    "stored",
    [b"\xef\xbb\xbf" + SEASON.encode(), SEASON.replace("\n", "\r\n").encode()],
    ids=["byte-order mark", "carriage returns"],
)
def test_what_other_systems_editors_write_is_read_the_same(tmp_path: Path, stored: bytes) -> None:
    season = read_season(season_in(tmp_path, stored))
    assert season.settings.season.title == "Quillen Valley"


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_lines_are_counted_the_same_on_every_system(tmp_path: Path, newline: str) -> None:
    text = SEASON.replace("join_m = 60", "join_m = -60").replace("\n", newline)
    (problem,) = problems_of(season_in(tmp_path, b"\xef\xbb\xbf" + text.encode()))
    assert (problem.line, problem.key) == (SEASON.split("\n").index("join_m = 60") + 1, "rules.join_m")


def test_mistakes_come_in_the_order_of_the_files(tmp_path: Path) -> None:
    path = season_in(tmp_path, SEASON.replace("47.1", "91").replace("2028-03-15", "2026-03-15"))
    weevil = tmp_path / "agents/weevil.toml"
    weevil.write_text(PROFILE.replace("NAME", "brindle beetle").replace("0.55", "2"), encoding="utf-8")
    places = [(problem.file, problem.line, problem.code) for problem in problems_of(path)]
    assert places == [
        ("season.toml", 7, "date-order"),
        ("season.toml", 16, "out-of-range"),
        ("agents/weevil.toml", 2, "duplicate-name"),
        ("agents/weevil.toml", 6, "out-of-range"),
    ]


def test_a_folder_is_named_with_the_file_in_it(tmp_path: Path) -> None:
    season_in(tmp_path)
    (problem,) = problems_of(tmp_path)
    assert problem.code == "is-directory"
    assert problem.fix.endswith("/season.toml")


def test_a_raster_may_not_be_a_folder_even_with_the_ending_of_one(tmp_path: Path) -> None:
    path = season_in(tmp_path, SEASON + '\n[layers.elevation]\npath = "layers/weeds.gdb"\n')
    assert [problem.code for problem in problems_of(path)] == ["is-directory"]


@pytest.mark.parametrize(
    ("stored", "what"),
    [
        (
            b"SQLite format 3\0",
            "this file is no text; by its first bytes it is a GeoPackage or another SQLite database.",
        ),
        (b"format = 1\0", "this file is no text: it holds zero bytes."),
    ],
)
def test_what_is_no_text_is_not_told_to_be_saved_as_utf_8(tmp_path: Path, stored: bytes, what: str) -> None:
    [problem] = problems_of(season_in(tmp_path, stored))
    assert (problem.code, problem.what, problem.line) == ("not-text", what, None)
    assert problem.fix.startswith("name a text file that ends in .toml;")


def test_nesting_beyond_reason_is_a_mistake_not_a_crash(tmp_path: Path) -> None:
    path = season_in(tmp_path, "deep = " + "[" * 100_000)
    assert [problem.code for problem in problems_of(path)] == ["syntax"]


CODES = {
    "agents_that_collide": ["duplicate-name", "duplicate-name", "profile-host-code"],
    "bad_choices": ["bad-choice"] * 6,
    "climate_variables": ["climate-variables", "layer-missing", *["climate-variables"] * 3],
    "columns_and_units": [
        "unknown-key",
        "unknown-key",
        "bad-choice",
        "bad-choice",
        "bad-choice",
        "unknown-key",
    ],
    "coordinate_reference_systems": ["crs", "crs"],
    "curves": ["curve-order", "curve-plateau", "curve-order", "curve-plateau", "curve-order"],
    "dates_words_and_bands": ["date-format", "bad-choice", "bands", "climate-variables"],
    "encoding_utf_16": ["encoding"],
    "files_missing": [*["file-missing"] * 4, "bad-path", *["file-missing"] * 2],
    "folders_where_files_are_needed": ["is-directory", "is-directory"],
    "format_of_a_later_version": ["bad-choice", "wrong-type"],
    "keys_that_do_nothing_for_a_layer": ["misplaced-key"] * 12,
    "missing_keys": ["missing-key"] * 4,
    "names_used_twice": ["duplicate-name"] * 3,
    "no_agents_and_no_crews": ["season-empty", "season-empty"],
    "not_finite": ["not-finite"] * 3,
    "nothing_weighs_anything": ["weights-zero", "weights-zero"],
    "out_of_range": ["out-of-range"] * 6,
    "outputs_would_swallow_the_inputs": ["bad-path"],
    "path_with_backslash": ["bad-path"] * 3,
    "profile_climate_limits": ["unknown-key", "profile-limit", "profile-limit"],
    "profile_known_populations": [
        "profile-population",
        "profile-population",
        "climate-variables",
        "out-of-range",
        "out-of-range",
    ],
    "profile_spread": ["profile-spread", "profile-spread", "curve-order"],
    "season_ends_before_it_starts": ["date-order"],
    "season_file_is_a_folder": ["is-directory"],
    "season_file_missing": ["file-missing"],
    "syntax_in_a_profile": ["out-of-range", "syntax"],
    "unknown_key": ["unknown-key", "unknown-key"],
    "wrong_types": ["wrong-type"] * 12,
}
BAD_SEASONS = Path(__file__).parents[2] / "bad_input" / "season"


@pytest.mark.parametrize("case", CODES)
def test_codes_are_stable(case: str) -> None:
    assert [problem.code for problem in problems_of(BAD_SEASONS / case / "season.toml")] == CODES[case]


def test_the_shipped_starter_is_a_right_season() -> None:
    starter = Path(read.__file__).parents[1] / "starter" / "season.toml"
    assert isinstance(read_season(starter), Season)


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ('path = "layers/weeds.gdb"', "layers.infestations.path"),
        ('"agents/weevil.toml"', "season.agents[2]"),
        ("end = 2028-03-15", "season.outputs"),
        ("start = 2027-11-01", "season.previous"),
    ],
)
@pytest.mark.parametrize("path", ["x" * 256, "a/" * 1100 + "b"])
def test_paths_longer_than_any_system_keeps_are_mistakes(tmp_path, line, key, path):
    name = key.rpartition(".")[2]
    text = SEASON.replace(line, f'"{path}"' if name.startswith("agents") else f'{name} = "{path}"')
    [problem] = [one for one in problems_of(season_in(tmp_path, text)) if one.key == key]
    assert problem.code == "bad-path"
    assert "is longer than any system allows: 255 bytes for a name, 2,048 for a whole path." in problem.what


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_no_layer(tmp_path):
    os.mkfifo(tmp_path / "weeds.gpkg")
    text = SEASON.replace("layers/weeds.gdb", "weeds.gpkg")
    [problem] = [
        one for one in problems_of(season_in(tmp_path, text)) if one.key == "layers.infestations.path"
    ]
    assert problem.what == "'weeds.gpkg' is neither a file nor a folder, but a pipe or a device."
