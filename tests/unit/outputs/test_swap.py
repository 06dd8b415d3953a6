import errno
import json
import multiprocessing
import os
import signal
import sys
import tempfile
import time
from pathlib import Path

import pytest

from geo_scout.errors import OutputsBlocked
from geo_scout.outputs.swap import replace_outputs


def write(folder, text):
    manifest = {"written_by": "geo_scout", "title": text}
    (folder / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")


def read(folder):
    return json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["title"]


def fail(new, error):
    write(new, "half")
    raise error


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_outputs_appear_when_the_block_ends(tmp_path):
    with replace_outputs(tmp_path / "outputs") as new:
        assert names(tmp_path) == [new.name]
        write(new, "one")
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "one"


def test_a_second_run_replaces_the_first_whole(tmp_path):
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
        (new / "sources.csv").write_text("old", encoding="utf-8")
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "two")
    assert names(tmp_path / "outputs") == ["manifest.json"]
    assert read(tmp_path / "outputs") == "two"


def test_what_the_user_keeps_beside_our_files_is_carried_over(tmp_path):
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    (tmp_path / "outputs" / "field_notes.txt").write_text("gate open", encoding="utf-8")
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "two")
    assert names(tmp_path / "outputs") == ["field_notes.txt", "manifest.json"]
    assert (tmp_path / "outputs" / "field_notes.txt").read_text(encoding="utf-8") == "gate open"


@pytest.mark.parametrize("error", [RuntimeError, KeyboardInterrupt])
def test_a_failed_run_leaves_the_earlier_outputs(tmp_path, error):
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    with pytest.raises(error), replace_outputs(tmp_path / "outputs") as new:
        fail(new, error)
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "one"


BLOCKED = [
    (errno.ENOSPC, "free some space on the disk, or name another folder in [season] outputs or --outputs"),
    (errno.EDQUOT, "free some space on the disk, or name another folder in [season] outputs or --outputs"),
    (
        errno.EROFS,
        "close programs that hold files in it open, get the right to write in {parent}, where results are made before "
        "they are swapped in, or name another folder in [season] outputs or --outputs",
    ),
    (
        errno.EIO,
        "close programs that hold it open, check the disk and your rights to the folder, or name another folder in "
        "[season] outputs or --outputs",
    ),
]


@pytest.mark.parametrize(("number", "fix"), BLOCKED, ids=[errno.errorcode[number] for number, _ in BLOCKED])
def test_what_the_disk_refuses_is_said_in_words(tmp_path, number, fix):
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    with pytest.raises(OutputsBlocked) as caught, replace_outputs(tmp_path / "outputs") as new:
        fail(new, OSError(number, os.strerror(number), str(new / "map.html")))
    # The file is named where it would be, not where it was written first.
    assert str(caught.value) == (
        f"outputs: {tmp_path / 'outputs' / 'map.html'} cannot be written or replaced: {os.strerror(number)}.\n"
        f"  Fix: {fix.format(parent=tmp_path)}, then run again. Earlier outputs are untouched."
    )
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "one"


def test_a_half_swap_is_undone(tmp_path):
    (tmp_path / "outputs.being-replaced").mkdir()
    write(tmp_path / "outputs.being-replaced", "one")
    with pytest.raises(RuntimeError), replace_outputs(tmp_path / "outputs") as new:
        fail(new, RuntimeError)
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "one"


def test_a_half_swap_is_finished(tmp_path):
    for name, text in (("outputs", "two"), ("outputs.being-replaced", "one")):
        (tmp_path / name).mkdir()
        write(tmp_path / name, text)
    with replace_outputs(tmp_path / "outputs") as new:
        assert read(tmp_path / "outputs") == "two"
        assert not (tmp_path / "outputs.being-replaced").exists()
        write(new, "three")
    assert names(tmp_path) == ["outputs"]


def test_a_clearing_that_was_cut_short_is_finished(tmp_path):
    """A run killed while it removed the earlier outputs may leave any part of them."""
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    for name in ("outputs.being-replaced", "outputs.being-written-4711"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "map.html").write_text("a part", encoding="utf-8")
    (tmp_path / "outputs.being-replaced" / "notes.txt").write_text("gate open", encoding="utf-8")
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "two")
    assert names(tmp_path) == ["outputs"]
    assert names(tmp_path / "outputs") == ["manifest.json", "notes.txt"]
    assert read(tmp_path / "outputs") == "two"


@pytest.mark.parametrize("outputs", ["outputs", "results [2027]*"])
def test_only_remains_with_our_own_names_are_cleared(tmp_path, outputs):
    theirs = [".new-2026", ".old", ".being-written-by-me", ".being-written", ".being-replaced-2026"]
    for end in theirs:
        (tmp_path / f"{outputs}{end}").mkdir()
        write(tmp_path / f"{outputs}{end}", "a copy of mine")
    (tmp_path / f"{outputs}.being-written-4711").mkdir()
    for _ in range(2):
        with replace_outputs(tmp_path / outputs) as new:
            write(new, "one")
    assert names(tmp_path) == sorted([outputs, *(f"{outputs}{end}" for end in theirs)])


RENAMES = ("first", "second", "third")


@pytest.mark.parametrize("at", range(3), ids=RENAMES)
def test_an_interrupt_within_the_swap_waits_until_the_swap_is_whole(tmp_path, monkeypatch, at):
    """The three renames: the old outputs away, the new ones in, and the old ones to be cleared."""
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    rename, seen = Path.rename, []

    def rename_and_interrupt(path, target):
        result = rename(path, target)
        seen.append(path.name)
        if len(seen) == at + 1:
            signal.raise_signal(signal.SIGINT)
        return result

    monkeypatch.setattr(Path, "rename", rename_and_interrupt)
    with (
        pytest.raises(KeyboardInterrupt, match=r"^the new results are in place, whole\.$"),
        replace_outputs(tmp_path / "outputs") as new,
    ):
        write(new, "two")
    assert len(seen) == len(RENAMES)
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "two"
    with pytest.raises(KeyboardInterrupt, match=r"^$"):
        signal.raise_signal(signal.SIGINT)


def test_lock_files_of_single_runs_do_not_pile_up(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "locks"))
    (tmp_path / "locks").mkdir()
    for _ in range(3):
        with replace_outputs(tmp_path / "outputs") as new:
            write(new, "one")
    assert len(names(tmp_path / "locks")) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such rights")
def test_a_lock_can_be_taken_by_other_people(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "locks"))
    (tmp_path / "locks").mkdir()
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    [lock] = (tmp_path / "locks").iterdir()
    assert oct(lock.stat().st_mode & 0o777) == "0o666"


@pytest.mark.parametrize("manifest", ['{"name": "a web page", "start_url": "/"}', "[]", "{", ""])
def test_the_manifest_of_another_program_is_not_ours(tmp_path, manifest):
    (tmp_path / "outputs").mkdir()
    (tmp_path / "outputs" / "manifest.json").write_text(manifest, encoding="utf-8")
    with (
        pytest.raises(OutputsBlocked, match="holds files geo_scout did not write"),
        replace_outputs(tmp_path / "outputs"),
    ):
        pass
    assert (tmp_path / "outputs" / "manifest.json").read_text(encoding="utf-8") == manifest


def test_files_of_somebody_else_are_never_replaced(tmp_path):
    (tmp_path / "outputs").mkdir()
    (tmp_path / "outputs" / "thesis.docx").write_text("years of work", encoding="utf-8")
    with pytest.raises(OutputsBlocked) as caught, replace_outputs(tmp_path / "outputs"):
        pass
    assert str(caught.value) == (
        f"outputs: {tmp_path / 'outputs'} holds files geo_scout did not write (thesis.docx); "
        "it will not replace them.\n"
        "  Fix: name a new folder in [season] outputs or --outputs."
    )
    assert names(tmp_path / "outputs") == ["thesis.docx"]


def test_a_file_in_the_way_is_said(tmp_path):
    (tmp_path / "outputs").write_text("a file", encoding="utf-8")
    with pytest.raises(OutputsBlocked, match="is a file"), replace_outputs(tmp_path / "outputs"):
        pass


def hold(folder, started, text):
    with replace_outputs(folder) as new:
        write(new, text)
        started.set()
        time.sleep(30)


def finish(folder, text):
    with replace_outputs(folder) as new:
        write(new, text)
        time.sleep(0.2)


@pytest.mark.skipif(sys.platform == "win32", reason="kill -9 is a POSIX signal")
def test_the_remains_of_a_killed_run_are_cleared(tmp_path):
    context = multiprocessing.get_context("spawn")
    started = context.Event()
    killed = context.Process(target=hold, args=(tmp_path / "outputs", started, "dead"))
    killed.start()
    assert started.wait(30)
    # While the other run lives, its folder is left alone.
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    assert f"outputs.being-written-{killed.pid}" in names(tmp_path)
    os.kill(killed.pid, signal.SIGKILL)
    killed.join()
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "two")
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "two"


def test_two_runs_at_once_end_with_one_of_them_whole(tmp_path):
    context = multiprocessing.get_context("spawn")
    runs = [context.Process(target=finish, args=(tmp_path / "outputs", text)) for text in ("one", "two")]
    for run in runs:
        run.start()
    for run in runs:
        run.join(60)
    assert [run.exitcode for run in runs] == [0, 0]
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") in ("one", "two")
