import os
import tomllib
from pathlib import Path

import pytest

from geo_scout.season.draft_paths import ELSEWHERE, draft_path
from geo_scout.season.toml_text import toml_text


def test_a_path_starts_from_the_draft(tmp_path: Path) -> None:
    assert draft_path(tmp_path / "my maps/ö weeds.shp", tmp_path / "drafts/one") == (
        "../../my maps/ö weeds.shp",
        "",
    )
    assert draft_path(tmp_path / "weeds.shp", tmp_path) == ("weeds.shp", "")


def test_a_link_to_the_folder_does_not_lead_astray(tmp_path: Path) -> None:
    (tmp_path / "deep/down").mkdir(parents=True)
    (tmp_path / "weeds.shp").touch()
    link = tmp_path / "link"
    try:
        link.symlink_to(tmp_path / "deep/down", target_is_directory=True)
    except OSError:
        # Windows lets only some users make links.
        return
    written, _ = draft_path(tmp_path / "weeds.shp", link)
    assert written == "../../weeds.shp"
    assert (link / written).is_file()


def test_another_drive_is_written_in_full_and_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_way(path: object, start: object) -> str:
        raise ValueError

    monkeypatch.setattr(os.path, "relpath", no_way)
    written, remark = draft_path(tmp_path / "weeds.shp", tmp_path / "draft")
    assert (written, remark) == ((tmp_path.resolve() / "weeds.shp").as_posix(), ELSEWHERE)
    assert tomllib.loads(f"path = {toml_text(written)}")["path"] == written
