from pathlib import Path

import pytest

from geo_scout.season.paths import is_well_written, missing_file, with_slashes


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("a\\b\\c.shp", "a/b/c.shp"),
        ("a\\\\b.shp", "a/b.shp"),
        ("C:\temp\new\r.tif", "C:/temp/new/r.tif"),
        ("x\bin\format.tif", "x/bin/format.tif"),
        ("a/b.shp", "a/b.shp"),
        ("a\x00b", "ab"),
    ],
)
def test_the_path_the_user_meant(written: str, meant: str) -> None:
    assert with_slashes(written) == meant
    assert is_well_written(with_slashes(written))


@pytest.mark.parametrize("written", ["", "  ", "a\\b", "a\tb", "a\x7fb"])
def test_paths_that_cannot_be_looked_up(written: str) -> None:
    assert not is_well_written(written)


def test_the_first_thing_missing_on_the_way_is_named(tmp_path: Path) -> None:
    (tmp_path / "maps/north").mkdir(parents=True)
    (tmp_path / "maps/north/Weeds.SHP").touch()
    assert missing_file("maps/nrth/w.shp", tmp_path / "maps/nrth/w.shp", tmp_path) == (
        "there is no folder 'maps/nrth'.",
        "did you mean 'maps/north'?",
    )
    assert missing_file("maps/north/weeds.gpkg", tmp_path / "maps/north/weeds.gpkg", tmp_path)[1] == (
        "did you mean 'maps/north/Weeds.SHP'?"
    )


def test_a_link_that_leads_nowhere_is_said(tmp_path: Path) -> None:
    link = tmp_path / "weeds.gpkg"
    try:
        link.symlink_to("gone.gpkg")
    except OSError:
        pytest.skip("this system or account makes no symbolic links")
    what, fix = missing_file("weeds.gpkg", link, tmp_path)
    assert what == "'weeds.gpkg' is a link that leads to no file."
    assert fix == "mend the link, or put the file itself there."
