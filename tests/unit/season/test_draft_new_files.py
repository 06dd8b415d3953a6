import os
from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes, OutputsBlocked
from geo_scout.season.new_files import write_new_files

CONTENTS = {"season.toml": b"a", "agents/beetle.toml": b"b"}


def test_files_are_written_into_folders_made_for_them(tmp_path: Path) -> None:
    write_new_files(tmp_path / "x/y", CONTENTS, done="written")
    assert (tmp_path / "x/y/season.toml").read_bytes() == b"a"
    assert (tmp_path / "x/y/agents/beetle.toml").read_bytes() == b"b"


def test_one_that_is_there_stops_all(tmp_path: Path) -> None:
    (tmp_path / "agents").mkdir()
    (tmp_path / "agents/beetle.toml").write_bytes(b"mine")
    with pytest.raises(InputMistakes) as raised:
        write_new_files(tmp_path, CONTENTS, done="written")
    assert str(raised.value) == (
        f"error: {(tmp_path / 'agents/beetle.toml').as_posix()}\n"
        "  there is a file with this name already. Nothing was written.\n"
        "  Fix: choose a new folder; geo-scout never overwrites."
    )
    assert not (tmp_path / "season.toml").exists()


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def full(path: Path, mode: str = "r") -> object:
        if path.name == "beetle.toml":
            raise OSError(28, os.strerror(28))
        return opened(path, mode)

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(OutputsBlocked, match=r"x cannot be written: .*\. Nothing was written\."):
        write_new_files(tmp_path / "x", CONTENTS, done="written")
    assert list(tmp_path.iterdir()) == []
