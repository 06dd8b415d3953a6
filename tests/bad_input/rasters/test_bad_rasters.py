"""Every folder beside this file is a season with a broken raster and the whole message a person gets from a check.

The rasters are made anew by the function of the case's name in ``made_rasters.py``, beside the season in ``base``;
it returns what the season says of them. ``expected.txt`` holds what ``geo-scout check season.toml`` prints, up to
the list of what it did not look at, and the exit code.
"""

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path

import geopandas as gpd
import pytest

from geo_scout.layers import not_looked_at, read_layers
from geo_scout.season import read_season
from geo_scout.zones import read_zones
from tests.bad_input.command_line import STOPS, contents, geo_scout, makers, run_tells_the_same

HERE = Path(__file__).parent
MADE = makers(HERE / "made_rasters.py", ["write", "months"])


def lay_out(case: str, folder: Path) -> None:
    shutil.copytree(HERE / "base", folder, dirs_exist_ok=True)
    season = folder / "season.toml"
    tables = "".join(f"\n[layers.{name}]\n{table}\n" for name, table in MADE[case](folder).items())
    season.write_text(season.read_text(encoding="utf-8") + tables, encoding="utf-8")


@contextmanager
def memory_of(more_bytes: int) -> Iterator[None]:
    """Let this process take so much more address space, where the system can hold it to that."""
    if sys.platform != "linux":
        yield
        return
    import resource

    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (pages * resource.getpagesize() + more_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))


def test_each_case_has_its_maker_and_its_message() -> None:
    assert len(MADE) >= 50
    assert {case.parent.name for case in HERE.glob("*/expected.txt")} == set(MADE)


@pytest.mark.parametrize("case", MADE)
def test_the_whole_message(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    lay_out(case, tmp_path)
    before = contents(tmp_path)
    monkeypatch.chdir(tmp_path)
    with memory_of(2**30) if case.startswith("huge") else nullcontext():
        code, out, err = geo_scout(capfd, monkeypatch, "check", "season.toml")
    told, _, tail = out.partition("\nNot looked at:\n")
    expected = (HERE / case / "expected.txt").read_text(encoding="utf-8")
    assert f"{err}{told}exit code {code}\n" == expected
    stops = STOPS.findall(told)
    assert code == (2 if stops or err else 0)
    if err:
        # A mistake of the season file itself: no layer was opened.
        assert (out, err[:7]) == ("", "error: ")
    else:
        # Its words are held by the cases of the other layers; rasters found damaged under the sites come later.
        unsaid = not_looked_at(read_season("season.toml"), is_stopped="layer above stops" in tail)
        assert tail.splitlines() == [f"- {one}" for one in unsaid]
    if code:
        assert run_tells_the_same(geo_scout(capfd, monkeypatch, "run", "season.toml"), err, told)
    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    ("case", "elevation_m"),
    [
        # The cells of row 4, column 4 and of row 7, column 7: 1000 m + 10 m a row + 1 m a column.
        ("longitudes_from_0_to_360", [1044.0, 1077.0]),
        ("rows_from_south_to_north", [1044.0, 1077.0]),
        ("no_value_under_a_site", [1044.0, float("nan")]),
        ("no_numbers_among_them", [1044.0, float("nan")]),
        ("site_outside", [1044.0, float("nan")]),
        # The raster begins 0.0255 degrees further west: the first site covers columns 6.85 to 7.25, of which 5
        # eighths are column 7; of the second one only a part of column 9 is left.
        ("sites_partly_outside", [1046.625, 1079.0]),
        # Half of it is stored; the season's own scale and offset make half of that and 5 m more.
        ("scale_stated_twice", [266.0, 274.25]),
    ],
)
def test_what_is_read_all_the_same_is_true(
    case: str, elevation_m: list[float], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay_out(case, tmp_path)
    monkeypatch.chdir(tmp_path)
    layers = read_layers(read_season("season.toml"))
    sites = gpd.read_file(tmp_path / "weeds.geojson")
    assert read_zones(layers.rasters, sites).mean["elevation_m"].tolist() == pytest.approx(
        elevation_m, nan_ok=True
    )
