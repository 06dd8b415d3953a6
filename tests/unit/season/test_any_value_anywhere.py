"""Whatever stands at whatever key, the answer is a season or a list of mistakes, never a fault of ours."""

import re
import shutil
from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes
from geo_scout.model.problem import Problem
from geo_scout.model.season import Season
from geo_scout.season import read_season

SEASON = """format = 1
[season]
title = "Quillen Valley"
as_of = 2026-11-01
start = 2027-05-01
end = 2027-09-15
agents = ["agents/beetle.toml"]
outputs = "outputs"
previous = "layers/weeds.geojson"
[layers.infestations]
path = "layers/weeds.geojson"
layer = "weeds"
crs = "EPSG:4326"
columns = {host = "WEED"}
units = {cover = "percent", area = "ha"}
date_format = "%d.%m.%Y"
yes = ["yes"]
no = ["no"]
point_area_ha = 0.1
required = true
[layers.elevation]
path = "layers/weeds.geojson"
vertical_unit = "ft"
scale = 0.1
offset = 1
[layers.bioclim]
path = "layers/weeds.geojson"
bands = ["bio05", "bio06"]
[[crews]]
name = "Ford"
base_longitude_deg = -109.6
base_latitude_deg = 47.1
[rules]
join_m = 100
land_classes = {crop = "forbid"}
treatment_kinds = ["mowing"]
treated_within_days = 30
[criteria.release.host_area]
curve = {shape = "steps", limits = [5, 20], levels = [1, 0.5, 0]}
[criteria.release.host_cover]
curve = {shape = "s_shaped", from = 0, to = 3, direction = "falling"}
[weights.release]
order = ["host", ["cover"]]
[weights.release.groups.host]
criteria = ["host_area"]
judgements = []
[weights.release.groups.cover]
criteria = ["host_cover"]
[ranking]
method = "ordered_average"
attitude = 0.3
[climate]
variables = ["bio05", "bio12"]
reference = "infestations"
"""

PROFILE = """format = 1
name = "brindle beetle"
host = "brindlebell"
host_code = "BRIN"
[establishment]
prior_share = {value = 0.5, source = "field notes"}
years_to_confirm = 2
[spread]
curve = {ln_km_per_yr = 0.4, ln_km_at_start = -2, fitted_from_years = 3, fitted_to_years = 13}
max_spread_km = 10
[climate]
variables = ["bio05"]
limits = {annual_mean_degc = {least = 1, most = 9}}
[release]
number_per_release = 200
[[known_populations]]
name = "Ferrow Gorge"
longitude_deg = -109.5
latitude_deg = 47.1
climate = {bio05 = 25}
[[legal_status]]
jurisdiction = "Harrowmere"
status = "permit"
checked_on = 2026-09-14
"""

VALUES = (
    *(
        "-1",
        "99999999999999999999",
        "nan",
        "-inf",
        "true",
        '""',
        "'a\\b'",
        "9999-12-31",
        "2027-05-01T00:00:00",
    ),
    *("08:00:00", "[]", '["x", "x"]', "[[]]", "[{}]", '{value = "x"}', "{x = {y = nan}}"),
)
_LINE = re.compile(r"(\w+) = .*")


def outcome(folder: Path, season: str, profile: str) -> Season | tuple[Problem, ...]:
    (folder / "season.toml").write_text(season, encoding="utf-8")
    (folder / "agents/beetle.toml").write_text(profile, encoding="utf-8")
    try:
        return read_season(folder / "season.toml")
    except InputMistakes as mistakes:
        return tuple(mistake for mistake in mistakes.mistakes if isinstance(mistake, Problem))


@pytest.fixture(name="folder")
def season_folder(tmp_path: Path) -> Path:
    (tmp_path / "agents").mkdir()
    (tmp_path / "layers").mkdir()
    (tmp_path / "layers/weeds.geojson").write_text("{}", encoding="utf-8")
    return tmp_path


def changed(text: str, number: int, replacement: str) -> str:
    lines = text.splitlines()
    lines[number] = replacement
    return "\n".join(lines) + "\n"


def test_the_season_itself_is_right(folder: Path) -> None:
    assert isinstance(outcome(folder, SEASON, PROFILE), Season)


@pytest.mark.parametrize("value", VALUES)
def test_any_value_at_any_key(folder: Path, value: str) -> None:
    for text, other in ((SEASON, PROFILE), (PROFILE, SEASON)):
        for number, line in enumerate(text.splitlines()):
            match = _LINE.fullmatch(line)
            if match is None:
                continue
            wrong = changed(text, number, f"{match.group(1)} = {value}")
            found = outcome(folder, wrong, other) if text is SEASON else outcome(folder, other, wrong)
            assert isinstance(found, Season) or all(problem.what and problem.fix for problem in found)


def test_any_line_left_out_or_renamed(folder: Path) -> None:
    for text, other in ((SEASON, PROFILE), (PROFILE, SEASON)):
        for number, line in enumerate(text.splitlines()):
            for replacement in ("", "zz" + line, line.replace("[", "[zz"), "= " + line):
                wrong = changed(text, number, replacement)
                found = outcome(folder, wrong, other) if text is SEASON else outcome(folder, other, wrong)
                assert isinstance(found, Season) or len(found) > 0


def test_the_file_cut_short_anywhere(folder: Path) -> None:
    for length in range(0, len(SEASON), 7):
        found = outcome(folder, SEASON[:length], PROFILE)
        assert isinstance(found, Season) or len(found) > 0


def test_nothing_else_is_left_behind(folder: Path) -> None:
    shutil.rmtree(folder / "agents")
    (folder / "agents").mkdir()
    outcome(folder, SEASON, PROFILE)
    names = {item.relative_to(folder).as_posix() for item in folder.rglob("*") if item.is_file()}
    assert names == {"season.toml", "agents/beetle.toml", "layers/weeds.geojson"}
