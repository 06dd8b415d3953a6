"""A season's own cover classes, as the season file gives them."""

import shutil
from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes
from geo_scout.model.season import Season
from geo_scout.season import read_season

CASE = Path(__file__).parents[2] / "bad_input" / "season" / "cover_schemes"
SEASON = """format = 1
[season]
agents = ["agents/beetle.toml"]
[layers.infestations]
path = "layers/weeds.geojson"
units = {cover = "class:crew classes"}
[[crews]]
name = "Ford"
base_longitude_deg = -109.6
base_latitude_deg = 47.1
[cover_schemes."crew classes"]
"""


def read(folder: Path, classes: str) -> Season:
    for name in ("agents", "layers"):
        shutil.copytree(CASE / name, folder / name)
    path = folder / "season.toml"
    path.write_text(SEASON + classes, encoding="utf-8")
    return read_season(path)


def test_whole_numbers_decimals_and_the_limits_themselves_are_fine(tmp_path: Path) -> None:
    season = read(tmp_path, '"+" = [0, 0.5, 1]\n1 = [0, 0, 0]\nall = [100, 100, 100.0]\n')
    assert season.settings.cover_schemes == {
        "crew classes": {"+": (0.0, 0.5, 1.0), "1": (0.0, 0.0, 0.0), "all": (100.0, 100.0, 100.0)}
    }


@pytest.mark.parametrize(
    "limits",
    ["[0, 101, 101]", "[-0.1, 0, 1]", "[2, 1, 3]", "[1, 3, 2]", "[1, 2, 3, 4]", "[]", "5", "[true, 1, 2]"],
)
def test_each_mistake_is_one_mistake(tmp_path: Path, limits: str) -> None:
    with pytest.raises(InputMistakes) as raised:
        read(tmp_path, f"1 = {limits}\n")
    assert [problem.line for problem in raised.value.mistakes] == [12]
