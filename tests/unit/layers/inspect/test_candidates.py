import pytest

from geo_scout.layers.inspect import candidates
from geo_scout.layers.inspect.candidates import list_candidates


def fill(folder, *names):
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(b"x")


def names(found, folder):
    return [one.path.relative_to(folder).as_posix() for one in found]


def test_a_folder_is_searched_to_the_bottom_and_side_files_are_passed_over(tmp_path):
    fill(
        tmp_path,
        "b/weeds.shp",
        "b/weeds.dbf",
        "b/weeds.shp.xml",
        "a.tif",
        "a.tif.aux.xml",
        ".hidden.csv",
        "c/d/e.csv",
    )
    found, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert [(one.path.relative_to(tmp_path).as_posix(), one.what) for one in found] == [
        ("a.tif", "raster"),
        ("b/weeds.shp", "vector"),
        ("c/d/e.csv", "table"),
    ]
    assert alone == []


def test_what_is_no_layer_is_told_with_its_reason(tmp_path):
    fill(tmp_path, "plan.docx", "old.xls", "notes.md", "weeds")
    (tmp_path / "empty.csv").touch()
    _, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert {one.path.name: one.why for one in alone} == {
        "plan.docx": "a document cannot be read as a layer.",
        "old.xls": "save it as .xlsx or .csv first.",
        "notes.md": "files ending in '.md' are not layers.",
        "weeds": "its name has no ending that tells its kind.",
        "empty.csv": "the file is empty.",
    }


def test_the_draft_itself_and_results_of_a_run_are_not_looked_at(tmp_path):
    fill(tmp_path, "draft/copy.csv", "out/manifest.json", "out/run_log.json", "out/sources.csv", "weeds.csv")
    found, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert names(found, tmp_path) == ["weeds.csv"]
    assert [(one.path.name, one.why) for one in alone] == [
        ("out", "these are the results of an earlier run.")
    ]


def test_a_geodatabase_is_one_file(tmp_path):
    fill(tmp_path, "weeds.gdb/a00000001.gdbtable", "weeds.gdb/timestamps")
    for named in (tmp_path, tmp_path / "weeds.gdb"):
        found, alone = list_candidates([named], tmp_path / "draft")
        assert (names(found, tmp_path), alone) == (["weeds.gdb"], [])


def test_a_file_named_twice_is_looked_at_once(tmp_path):
    fill(tmp_path, "weeds.csv")
    found, _ = list_candidates([tmp_path, tmp_path / "weeds.csv"], tmp_path / "draft")
    assert names(found, tmp_path) == ["weeds.csv"]


def test_a_link_to_nowhere_is_told(tmp_path):
    try:
        (tmp_path / "weeds.csv").symlink_to(tmp_path / "gone.csv")
    except OSError:
        # Windows lets only some users make links; the rest of the module holds there too.
        return
    _, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert [one.why for one in alone] == ["this link leads to no file."]


def test_more_files_than_anybody_has_are_not_all_opened(tmp_path, monkeypatch):
    monkeypatch.setattr(candidates, "FILES_AT_MOST", 2)
    fill(tmp_path, "c.csv", "a.csv", "b.csv")
    found, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert names(found, tmp_path) == ["a.csv", "b.csv"]
    assert [(one.path.name, one.why) for one in alone] == [
        ("c.csv", "only the first 2 files were looked at.")
    ]


@pytest.mark.skipif("sys.platform == 'win32'", reason="Windows has no such names")
def test_names_a_season_file_cannot_hold_are_told(tmp_path):
    fill(tmp_path, "back\\slash.csv", "tab\there.csv")
    found, alone = list_candidates([tmp_path], tmp_path / "draft")
    assert found == []
    assert {one.why for one in alone} == {
        "its name holds a backslash or a control character; give it another name."
    }
