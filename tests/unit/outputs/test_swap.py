import multiprocessing
import os
import signal
import sys
import time

import pytest

from geo_scout.errors import OutputsBlocked
from geo_scout.outputs.swap import replace_outputs


def write(folder, text):
    (folder / "manifest.json").write_text(text, encoding="utf-8")


def read(folder):
    return (folder / "manifest.json").read_text(encoding="utf-8")


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


def test_a_full_disk_is_said_in_words(tmp_path):
    with replace_outputs(tmp_path / "outputs") as new:
        write(new, "one")
    with pytest.raises(OutputsBlocked) as caught, replace_outputs(tmp_path / "outputs") as new:
        fail(new, OSError(28, "No space left on device", str(new / "map.html")))
    assert "map.html cannot be written or replaced: No space left on device." in str(caught.value)
    assert "Earlier outputs are untouched." in str(caught.value)
    assert read(tmp_path / "outputs") == "one"


def test_a_half_swap_is_undone(tmp_path):
    (tmp_path / "outputs.old").mkdir()
    write(tmp_path / "outputs.old", "one")
    with pytest.raises(RuntimeError), replace_outputs(tmp_path / "outputs") as new:
        fail(new, RuntimeError)
    assert names(tmp_path) == ["outputs"]
    assert read(tmp_path / "outputs") == "one"


def test_a_half_swap_is_finished(tmp_path):
    for name, text in (("outputs", "two"), ("outputs.old", "one")):
        (tmp_path / name).mkdir()
        write(tmp_path / name, text)
    with replace_outputs(tmp_path / "outputs") as new:
        assert read(tmp_path / "outputs") == "two"
        assert not (tmp_path / "outputs.old").exists()
        write(new, "three")
    assert names(tmp_path) == ["outputs"]


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
    assert f"outputs.new-{killed.pid}" in names(tmp_path)
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
