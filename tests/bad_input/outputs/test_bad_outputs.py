"""Outputs that cannot be written: the whole message, the exit code, and the earlier outputs as they were."""

import errno
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from geo_scout.pipeline import run
from geo_scout.season import start_season

resource = pytest.importorskip("resource", reason="Windows has no limits of this kind")

NEW_FOLDER = "  Fix: name a new folder in [season] outputs or --outputs.\n"
NO_SPACE = (
    "  Fix: free some space on the disk, or name another folder in [season] outputs or --outputs, then run again. "
    "Earlier outputs are untouched.\n"
)
NOBODY = 65_534


def beside(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.parent.iterdir() if path.name.startswith(folder.name))


def test_a_file_in_the_place_of_the_folder(geo_scout, season):
    place = season.parent / "outputs"
    place.write_text("mine", encoding="utf-8")
    assert geo_scout("run", season) == (
        2,
        "",
        f"outputs: {place} is a file; a folder is needed.\n  Fix: name a folder in [season] outputs or --outputs.\n",
    )
    assert place.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("command", "files", "named"),
    [
        ("run", {"thesis.docx": "years of work"}, "thesis.docx"),
        # A web page's manifest has the name of ours.
        ("check", {"manifest.json": '{"start_url": "/"}', "index.html": "<p>"}, "index.html, manifest.json"),
        ("check", {name: name for name in ("d", "c", "b", "a")}, "a, b, c ..."),
    ],
)
def test_a_folder_with_files_of_somebody_else(geo_scout, season, digests, command, files, named):
    place = season.parent.parent / "theirs"
    place.mkdir()
    for name, text in files.items():
        (place / name).write_text(text, encoding="utf-8")
    before = digests(place)
    assert geo_scout(command, season, "--outputs", place) == (
        2,
        "",
        f"outputs: {place} holds files geo_scout did not write ({named}); it will not replace them.\n{NEW_FOLDER}",
    )
    assert digests(place) == before
    assert beside(place) == ["theirs"]


def test_a_season_is_started_once(geo_scout, tmp_path, monkeypatch, digests):
    monkeypatch.chdir(tmp_path)
    start_season("x")
    before = digests(tmp_path / "x")
    assert geo_scout("start", "x") == (
        2,
        "",
        "error: x\n"
        f"  {len(before)} files of these names are there already: agents/ashthorn_stem_weevil.toml, "
        "layers/boundaries.geojson, layers/elevation.tif and 7 more. Nothing was copied.\n"
        "  Fix: choose a new folder; geo-scout never overwrites.\n",
    )
    assert digests(tmp_path / "x") == before


@contextmanager
def as_nobody() -> Iterator[None]:
    """Put off the rights of root, to whom every folder is open."""
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if is_root:
            os.seteuid(0)


@pytest.fixture
def open_to_all(outputs: Path, geo_scout) -> Iterator[Path]:
    """Return the outputs of a season that everybody may read, which pytest's own folders are not."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(outputs.parent, folder / "x")
        for path in (folder, *folder.rglob("*")):
            path.chmod(0o755 if path.is_dir() else 0o644)
        yield folder / "x" / "outputs"
        for path in folder.rglob("*"):
            path.chmod(0o755)


@pytest.mark.parametrize("command", ["run", "check"])
def test_a_folder_that_is_only_for_reading(geo_scout, digests, open_to_all, command):
    season = open_to_all.parent / "season.toml"
    place = open_to_all if command == "run" else open_to_all.parent / "seen"
    for folder in (open_to_all, open_to_all.parent):
        folder.chmod(0o555)
    before = digests(open_to_all.parent)
    with as_nobody():
        told = geo_scout(command, season, "--outputs", place)
    assert told == (
        2,
        "",
        f"outputs: {place} cannot be written or replaced: Permission denied.\n"
        f"  Fix: close programs that hold files in it open, get the right to write in {place.parent}, where results are "
        "made before they are swapped in, or name another folder in [season] outputs or --outputs, then run again. "
        "Earlier outputs are untouched.\n",
    )
    assert digests(open_to_all.parent) == before


def test_a_folder_that_must_not_even_be_looked_into(geo_scout, digests, open_to_all):
    before = digests(open_to_all)
    open_to_all.chmod(0)
    with as_nobody():
        code, out, err = geo_scout("run", open_to_all.parent / "season.toml")
    open_to_all.chmod(0o755)
    assert (code, out) == (2, "")
    assert err.startswith(
        f"outputs: {open_to_all} cannot be written or replaced: Permission denied.\n  Fix: "
    )
    assert digests(open_to_all) == before


@contextmanager
def files_of_at_most(size_bytes: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("size_bytes", [1_000, 3_000, 60_000, 190_000])
def test_files_that_cannot_grow(geo_scout, season, outputs, digests, size_bytes):
    """A table, a map layer and the GeoPackage, early and late, each meet the limit in a writer of their own."""
    before = digests(outputs)
    with files_of_at_most(size_bytes):
        code, out, err = geo_scout("run", season)
    assert (code, out) == (2, "")
    assert err == f"outputs: {outputs} cannot be written or replaced: File too large.\n{NO_SPACE}"
    assert digests(outputs) == before
    assert beside(outputs) == ["outputs"]


@contextmanager
def disk_of_two_megabytes(place: Path) -> Iterator[Path]:
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a small disk can be mounted only with the rights of root")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk(geo_scout, season, outputs, digests, tmp_path):
    with disk_of_two_megabytes(tmp_path / "disk") as disk:
        place = disk / "outputs"
        shutil.copytree(outputs, place)
        before = digests(place)
        for room_bytes in (0, 90_112):
            free = os.statvfs(disk).f_bavail * os.statvfs(disk).f_frsize
            (disk / "filler").write_bytes(bytes(free - room_bytes))
            code, out, err = geo_scout("run", season, "--outputs", place)
            assert (code, out) == (2, "")
            assert err.startswith(f"outputs: {place}")
            assert err.endswith(f" cannot be written or replaced: No space left on device.\n{NO_SPACE}")
            assert digests(place) == before
            assert sorted(path.name for path in disk.iterdir()) == ["filler", "outputs"]
            (disk / "filler").unlink()


@pytest.mark.parametrize("at", [1, 2, 3], ids=["old away", "new in", "old to be cleared"])
def test_a_rename_that_fails_in_the_swap(geo_scout, season, outputs, digests, monkeypatch, at):
    """As on Windows, where a file that a spreadsheet holds open keeps its folder in place."""
    before = digests(outputs)
    rename, seen = Path.rename, []

    def rename_or_fail(path: Path, target: Path) -> Path:
        seen.append(path)
        if len(seen) == at and path.name != "notes.txt":
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return rename(path, target)

    # The note is carried over between the second and the third.
    at += at == 3
    monkeypatch.setattr(Path, "rename", rename_or_fail)
    code, _, err = geo_scout("run", season)
    monkeypatch.setattr(Path, "rename", rename)
    assert code == (0 if at == 4 else 2)
    if code:
        assert err.startswith(
            f"outputs: {outputs} cannot be written or replaced: Permission denied.\n  Fix: close "
        )
        assert beside(outputs) == ["outputs"]
    else:
        assert beside(outputs) == ["outputs", "outputs.being-replaced"]
    assert digests(outputs) == before
    if not code:
        assert geo_scout("run", season)[0] == 0
        assert beside(outputs) == ["outputs"]
        assert digests(outputs) == before


def test_names_with_spaces_and_letters_of_other_scripts(geo_scout, season, outputs, digests):
    place = season.parent.parent / "Wälder & Täler, плато 2027"
    shutil.copytree(season.parent, place, ignore=shutil.ignore_patterns("outputs"))
    code, out, err = geo_scout("run", place / "season.toml", "--outputs", place / "résultats [1] 結果")
    assert (code, err) == (0, "")
    assert "résultats [1] 結果: open map.html" in out
    written = digests(place / "résultats [1] 結果")
    assert written == {name: digest for name, digest in digests(outputs).items() if name != "notes.txt"}


FOREIGN = ("PROJ_DATA", "PROJ_LIB", "GDAL_DATA", "GDAL_DRIVER_PATH")
SETTINGS = {
    "GDAL_SKIP": "GTiff",
    "OGR_SKIP": "GPKG",
    "OGR_SQLITE_JOURNAL": "WAL",
    "OGR_GEOJSON_MAX_OBJ_SIZE": "0.0001",
    "OSR_DEFAULT_AXIS_MAPPING_STRATEGY": "AUTHORITY_COMPLIANT",
    "CPL_DEBUG": "ON",
    "PROJ_NETWORK": "ON",
    "PROJ_DEBUG": "3",
}


@pytest.mark.slow
def test_another_gis_installation_changes_nothing(digests, tmp_path):
    """Its data files are broken, its plug-in is no library, and the home folder turns the driver of GeoTIFF off."""
    season = start_season(tmp_path / "x")
    run(season, outputs=tmp_path / "first")
    foreign = tmp_path / "foreign"
    (foreign / ".gdal").mkdir(parents=True)
    for name in ("proj.db", "gdal_ODD.so", "gcs.csv", "gdalvrt.xsd"):
        (foreign / name).write_text("of another version", encoding="utf-8")
    (foreign / ".gdal" / "gdalrc").write_text("[configoptions]\nGDAL_SKIP=GTiff\n", encoding="utf-8")
    places = dict.fromkeys(FOREIGN, str(foreign)) | {"PROJ_AUX_DB": str(foreign / "proj.db")}
    done = subprocess.run(
        [sys.executable, "-m", "geo_scout", "run", str(season), "--outputs", str(tmp_path / "again")],
        env=os.environ | places | SETTINGS | {"HOME": str(foreign), "USERPROFILE": str(foreign)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert digests(tmp_path / "again") == digests(tmp_path / "first")
