"""The file as a whole: text stays text, folium sees none of it, the same season gives the same bytes."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest

from geo_scout.model.result import SeasonResult
from geo_scout.model.visible_text import printable
from geo_scout.outputs.map import write_map
from geo_scout.outputs.map.guard import RemoteReference
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.tables import build_tables

HOSTILE = (
    "{{ 7*7 }}",
    "{{ cycler.__init__.__globals__.os.getpid() }}",
    "{% raw",
    "{% endraw %}",
    "{#",
    "<script>window.bad=1</script>",
    "</script><script>window.bad=1</script>",
    "<!--<script>",
    "<img src=x onerror=window.bad=1>",
    "`${window.bad=1}`",
    "\"'\\",
    "\u202eback to front\u2066",
    "\u2028\u2029",
    "nul\x00",
    "\ud800",
    "&lt;b&gt;",
    "url(//example.org/x)",
    "<!--scripts-->",
    "x" * 10_000,
)


def _page(season: SeasonResult) -> str:
    return build_page(season, build_tables(season, "crew"), "crew")


def _data(page: str) -> str:
    found = re.search(
        r'<script type="application/json" id="season-data">(.*?)</script>', page, flags=re.DOTALL
    )
    assert found is not None
    return found.group(1)


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        self.tags.append(tag)


def _tags(page: str) -> list[str]:
    reader = _Tags()
    reader.feed(page)
    return reader.tags


@pytest.mark.parametrize("evil", HOSTILE, ids=lambda evil: ascii(evil)[:24])
def test_hostile_text_is_data_and_nothing_else(make_season: Callable[..., SeasonResult], evil: str) -> None:
    plain = _page(make_season(4, relief_px=0))
    page = _page(make_season(4, relief_px=0, text=lambda text: f"{evil} {text}"))
    assert _tags(page) == _tags(plain)
    scripts = re.compile(r"<script>(.*?)</script>", re.DOTALL)
    assert scripts.findall(page) == scripts.findall(plain)
    assert page.encode("utf-8")
    data = json.loads(_data(page))
    assert data["title"] == printable(f"{evil} Pell Basin, summer 2026")
    assert all(name.startswith(printable(f"{evil} ")) for name in data["rankings"][0]["columns"]["name"])
    assert data["crews"]["name"][0] == printable(f"{evil} Fenner depot")


def test_folium_is_given_no_text_of_the_season(make_season: Callable[..., SeasonResult]) -> None:
    page = _page(make_season(6, text=lambda text: f"QZQ{text}"))
    without_data = page.replace(_data(page), "")
    title = "<title>QZQPell Basin, summer 2026: sites of the season</title>"
    assert title in without_data
    assert "QZQ" not in without_data.replace(title, "")
    assert "QZQ" in _data(page)


def test_the_same_season_gives_the_same_bytes(
    make_season: Callable[..., SeasonResult], season: SeasonResult, tmp_path: Path
) -> None:
    for name, made in (("a.html", season), ("b.html", season), ("c.html", make_season())):
        write_map(tmp_path / name, made, build_tables(made, "crew"), "crew")
    first = (tmp_path / "a.html").read_bytes()
    assert first == (tmp_path / "b.html").read_bytes() == (tmp_path / "c.html").read_bytes()


def test_the_same_bytes_from_a_process_with_another_hash_seed(season: SeasonResult, tmp_path: Path) -> None:
    program = (
        "import sys, importlib.util, pathlib\n"
        "spec = importlib.util.spec_from_file_location('map_season', sys.argv[1])\n"
        "made = importlib.util.module_from_spec(spec); spec.loader.exec_module(made)\n"
        "from geo_scout.outputs.map import write_map\n"
        "from geo_scout.outputs.tables import build_tables\n"
        "season = made.make_season()\n"
        "write_map(pathlib.Path(sys.argv[2]), season, build_tables(season, 'crew'), 'crew')\n"
    )
    for seed in ("1", "2"):
        subprocess.run(
            [
                sys.executable,
                "-c",
                program,
                str(Path(__file__).parents[3] / "map_season.py"),
                str(tmp_path / seed),
            ],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
        )
    assert (tmp_path / "1").read_bytes() == (tmp_path / "2").read_bytes()
    assert (tmp_path / "1").read_bytes() == _page(season).encode()


def test_a_page_that_reaches_out_is_not_written(
    season: SeasonResult, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from geo_scout.outputs.map import page

    original = page.read_static
    monkeypatch.setattr(
        page,
        "read_static",
        lambda name: original(name) + ("fetch('x');\n" if name == "start.js" else ""),
    )
    with pytest.raises(RemoteReference, match=r"fetch\('x'\)"):
        write_map(tmp_path / "map.html", season, build_tables(season, "crew"), "crew")
    assert not (tmp_path / "map.html").exists()


def test_the_document_names_its_language_title_and_allows_zoom(season: SeasonResult) -> None:
    page = _page(season)
    assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert page.count("<title>") == 1
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in page
    assert "user-scalable" not in page


def test_two_hundred_patches_with_relief_stay_under_two_and_a_half_megabytes(
    make_season: Callable[..., SeasonResult],
) -> None:
    page = _page(make_season(100, relief_px=2048))
    assert 400_000 < len(page.encode()) < 2_500_000


def test_a_season_with_nothing_but_patches_has_a_map(make_season: Callable[..., SeasonResult]) -> None:
    bare = make_season(3, relief_px=0, questions=0)
    bare.layers.vectors.clear()  # type: ignore[attr-defined]
    data = json.loads(_data(_page(bare)))
    assert data["base_layers"] == []
    assert data["districts"] == {}
    assert data["questions"] == []
