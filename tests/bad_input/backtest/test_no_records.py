"""Seasons without past records: the whole message, the exit code, and nothing written."""

import re
from pathlib import Path

import pytest

from geo_scout.season import start_season
from tests.bad_input import command_line

FIX = "  Fix: check its dates and agents; `geo-scout check` says what was set aside.\n"


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return start_season("x")


def without(season: Path, *layers: str) -> None:
    text = season.read_text(encoding="utf-8")
    for name in layers:
        text = re.sub(rf"\[layers\.{name}\].*?(?=\n\[)", "", text, flags=re.DOTALL)
    season.write_text(text, encoding="utf-8")


def message(name: str, what: str, fix: str) -> str:
    why = "a backtest holds past releases against later visits, and"
    return f"error: season.toml layers.{name}\n  {why} {what}\n{fix}"


def absent(name: str) -> str:
    return message(
        name,
        f"the season has no layer of {name}.",
        f"  Fix: add [layers.{name}] with the path of your records.",
    )


@pytest.mark.parametrize("layers", [("releases", "visits"), ("visits",), ("releases",)], ids=" and ".join)
def test_layers_that_are_not_there(season, capfd, monkeypatch, layers):
    without(season, *layers)
    before = command_line.contents(season.parent)
    told = command_line.geo_scout(capfd, monkeypatch, "backtest", str(season))
    assert told == (2, "", "\n".join(absent(name) for name in layers) + "\n")
    assert command_line.contents(season.parent) == before


def test_layers_with_nothing_in_use(season, capfd, monkeypatch):
    text = season.read_text(encoding="utf-8")
    season.write_text(re.sub(r"as_of = \S+", "as_of = 2001-01-01", text), encoding="utf-8")
    for name in ("infestations",):
        file = season.parent / "layers" / f"{name}.geojson"
        file.write_text(re.sub(r"20[12]\d-", "1999-", file.read_text(encoding="utf-8")), encoding="utf-8")
    code, out, said = command_line.geo_scout(capfd, monkeypatch, "backtest", str(season))
    expected = [
        message(name, f"the layer of {name} has none in use.", FIX) for name in ("releases", "visits")
    ]
    assert (code, out, said) == (2, "", "".join(expected))


def test_a_folder_of_a_run_is_not_replaced(season, capfd, monkeypatch):
    command_line.geo_scout(capfd, monkeypatch, "run", str(season))
    before = command_line.contents(season.parent / "outputs")
    told = command_line.geo_scout(
        capfd, monkeypatch, "backtest", str(season), "--outputs", str(season.parent / "outputs")
    )
    assert told == (
        2,
        "",
        f"outputs: {season.parent / 'outputs'} holds the results of a run; a backtest does not replace them.\n"
        "  Fix: name another folder, with --outputs or as [season] outputs.\n",
    )
    assert command_line.contents(season.parent / "outputs") == before
