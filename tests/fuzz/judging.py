"""One mutated season checked and run: what it may do, and what it did."""

import shutil
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tests.fuzz.commands import EXIT_BUG, Ended, run_command
from tests.fuzz.folders import differences, outputs_of, snapshot, write_earlier, wrong_outputs
from tests.fuzz.kits import SEASON_FILE, Kit
from tests.fuzz.mutation import Mutation, write_mutation
from tests.fuzz.outputs_read import UNSEEN, wrong_values

_DONE, _STOPPED, _NOTHING_LEFT = 0, 2, 3
_SEASON, _SHELL, _OUTPUTS = "season", "shell", "outputs"


@dataclass(frozen=True)
class Verdict:
    """What became of one mutation.

    Parameters
    ----------
    number
        Its number.
    mutation
        What was changed; None where nothing could be.
    check, run
        Exit codes; -1 where the command was not run.
    seconds
        Processor time of both commands; a busy machine does not lengthen it much.
    problem
        What must not be, in a line; empty where all is well.
    detail
        The traceback or the list of differences.
    """

    number: int
    mutation: Mutation | None
    check: int = -1
    run: int = -1
    seconds: float = 0.0
    problem: str = ""
    detail: str = ""


def judge(
    number: int,
    seed: int,
    kits: Sequence[Kit],
    kits_folder: Path,
    scratch: Path,
    listen: Callable[[str], None] = lambda _: None,
) -> Verdict:
    """Write one mutation, check it, run it, and say what must not be.

    Parameters
    ----------
    number, seed
        Which mutation.
    kits, kits_folder
        The seasons to change, and where they are.
    scratch
        An empty folder for it; its remains stay there until the next call.
    listen
        Called as each command begins.
    """
    shutil.rmtree(scratch, ignore_errors=True)
    home = scratch / "home"
    home.mkdir(parents=True)
    try:
        mutation = write_mutation(number, seed, kits, kits_folder, home / _SEASON)
        if mutation.has_earlier:
            write_earlier(home / _SEASON / _OUTPUTS)
    except Exception:
        return Verdict(number, None, problem="the mutation could not be made", detail=traceback.format_exc())
    begun = time.process_time()
    verdict = _judge(Verdict(number, mutation), home, scratch / _SHELL, listen)
    return replace(verdict, seconds=time.process_time() - begun)


def _judge(verdict: Verdict, home: Path, shell: Path, listen: Callable[[str], None]) -> Verdict:
    mutation = verdict.mutation
    assert mutation is not None
    season = str(home / _SEASON / SEASON_FILE)
    before = snapshot(home)
    listen("check")
    checked = run_command(["check", season], shell)
    verdict = replace(verdict, check=checked.code)
    problem = _wrong_end(checked, "check", {_DONE, _STOPPED})
    if problem:
        return replace(verdict, problem=problem, detail=checked.crash or checked.said)
    if touched := differences(before, snapshot(home)):
        return replace(verdict, problem="check changed files", detail="\n".join(touched))
    if checked.code == _DONE and not mutation.always_run:
        return verdict
    listen("run")
    ran = run_command(["run", season], shell)
    verdict = replace(verdict, run=ran.code)
    may = {_STOPPED} if checked.code == _STOPPED else {_DONE, _STOPPED, _NOTHING_LEFT}
    problem = _wrong_end(ran, "run", may)
    if problem:
        return replace(verdict, problem=problem, detail=ran.crash or ran.said)
    return _judge_files(verdict, home, before)


def _judge_files(verdict: Verdict, home: Path, before: dict[str, str]) -> Verdict:
    after = snapshot(home)
    if verdict.run == _STOPPED:
        touched = differences(before, after)
        return (
            replace(verdict, problem="a run that ended with 2 changed files", detail="\n".join(touched))
            if touched
            else verdict
        )
    if wrong := wrong_outputs(home, before, after):
        return replace(verdict, problem="outputs are not whole, or inputs changed", detail="\n".join(wrong))
    try:
        absurd = wrong_values(home / outputs_of(before, after))
    except Exception:
        return replace(verdict, problem="an output cannot be read", detail=traceback.format_exc())
    if absurd:
        return replace(verdict, problem="an output holds what cannot be", detail="\n".join(absurd))
    return verdict


def _wrong_end(ended: Ended, command: str, may: set[int]) -> str:
    """Return what is wrong with how a command ended, in a line; empty where nothing is."""
    if ended.code == EXIT_BUG:
        return f"{command}: {_last_line(ended.crash)}"
    if ended.code not in may:
        return f"{command} ended with {ended.code}, not {' or '.join(map(str, sorted(may)))}"
    if not ended.said.strip():
        return f"{command} said nothing"
    if unseen := UNSEEN.search(ended.said):
        at = unseen.start()
        return f"{command} printed {unseen[0]!r}: {ended.said[max(0, at - 60) : at + 20]!r}"
    return ""


def _last_line(crash: str) -> str:
    """Return the exception with the last of our own lines that it came through."""
    lines = crash.rstrip().splitlines()
    ours = [line.strip() for line in lines if "/geo_scout/" in line and 'File "' in line]
    where = ours[-1].split("/geo_scout/")[-1].replace('"', "") if ours else "?"
    return f"{lines[-1][:200] if lines else 'no crash file'} ({where})"
