"""Workers that judge mutations, each watched: one that hangs is killed, one that dies is told."""

import faulthandler
import multiprocessing
import os
import resource
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from multiprocessing.context import ForkServerProcess
from pathlib import Path

from tests.fuzz.judging import Verdict, judge
from tests.fuzz.kits import Kit

PATIENCE_SECONDS = 60.0
"""A command that takes longer hangs; the worst shapes compute for 13 s, on a busy machine three times that."""
_MEMORY_BYTES = 3_000_000_000
# A worker is replaced now and then, so that no mutation leans on what many before it left.
_NUMBERS_PER_WORKER = 100
_CONTEXT = multiprocessing.get_context("forkserver")
_CONTEXT.set_forkserver_preload(["tests.fuzz.judging", "geo_scout.pipeline"])
# Writing through to the disk costs more than all else, and no mutation is about a power cut.
SETTINGS = {"OGR_SQLITE_SYNCHRONOUS": "OFF", "OGR_CURRENT_DATE": "2026-11-01T00:00:00Z"}


@dataclass(frozen=True)
class Job:
    """What every worker is told.

    Parameters
    ----------
    seed
        Seed of the mutations.
    kits, kits_folder
        The seasons and where they are.
    patience_seconds
        How long one command may take.
    plant
        A fault planted in the worker before it begins; for the fuzzer's own tests.
    keep
        Folder that failing seasons are moved to, if any.
    """

    seed: int
    kits: Sequence[Kit]
    kits_folder: Path
    patience_seconds: float = PATIENCE_SECONDS
    plant: Callable[[], None] | None = None
    keep: Path | None = None


@dataclass
class _Worker:
    """One process, and what it is doing."""

    job: Job
    process: ForkServerProcess = field(init=False)
    pipe: Connection = field(init=False)
    scratch: Path = field(init=False)
    number: int = 0
    doing: str = ""
    since: float = 0.0
    done: int = 0

    def __post_init__(self) -> None:
        self.scratch = Path(tempfile.mkdtemp(prefix="mutation-"))
        self.pipe, other = _CONTEXT.Pipe()
        self.process = _CONTEXT.Process(target=_work, args=(self.job, self.scratch, other), daemon=True)
        self.process.start()
        other.close()

    def begin(self, number: int) -> None:
        self.number, self.doing, self.since = number, "writing", time.monotonic()
        self.pipe.send(number)

    def end(self) -> None:
        """Kill the process and clear its folder."""
        self.process.kill()
        self.process.join()
        self.pipe.close()
        shutil.rmtree(self.scratch, ignore_errors=True)


def judge_all(numbers: Sequence[int], job: Job, workers: int) -> Iterator[Verdict]:
    """Yield the verdict of each mutation as it comes.

    Parameters
    ----------
    numbers
        Which mutations.
    job
        What to do with them.
    workers
        How many processes work at once.
    """
    left = list(reversed(numbers))
    at_work: list[_Worker] = []
    try:
        while left or at_work:
            while left and len(at_work) < workers:
                at_work.append(_Worker(job))
                at_work[-1].begin(left.pop())
            wait([worker.pipe for worker in at_work], timeout=1.0)
            for worker in list(at_work):
                verdict = _news(worker)
                if verdict is None:
                    continue
                yield verdict
                _keep(verdict, worker)
                worker.done += 1
                if (
                    left
                    and worker.process.is_alive()
                    and worker.done < _NUMBERS_PER_WORKER
                    and not verdict.problem
                ):
                    worker.begin(left.pop())
                else:
                    at_work.remove(worker)
                    worker.end()
    finally:
        for worker in at_work:
            worker.end()


def _news(worker: _Worker) -> Verdict | None:
    """Return the verdict where there is one; a hang and a sudden death are verdicts, too."""
    with suppress(EOFError, ConnectionResetError):
        while worker.pipe.poll():
            said = worker.pipe.recv()
            if isinstance(said, Verdict):
                return said
            worker.doing, worker.since = said, time.monotonic()
    if not worker.process.is_alive():
        return _sudden(worker, f"the process died with {_death(worker.process.exitcode)}")
    waited = time.monotonic() - worker.since
    if waited > worker.job.patience_seconds:
        return _sudden(worker, f"no end after {waited:.0f} s")
    return None


def _sudden(worker: _Worker, what: str) -> Verdict:
    if worker.process.is_alive():
        # The stack of where it hangs goes into the worker's own file.
        worker.process.terminate()
        worker.process.join(timeout=2.0)
    stack = worker.scratch / _STACK
    told = stack.read_text(encoding="utf-8") if stack.exists() else ""
    words = worker.scratch / _WORDS
    made = words.read_text(encoding="utf-8") if words.exists() else ""
    return Verdict(worker.number, None, problem=f"{worker.doing}: {what}", detail=f"{made}\n{told}")


def _death(code: int | None) -> str:
    return f"signal {-code}" if code is not None and code < 0 else f"exit code {code}"


def _keep(verdict: Verdict, worker: _Worker) -> None:
    if verdict.problem and worker.job.keep is not None:
        target = worker.job.keep / str(verdict.number)
        shutil.rmtree(target, ignore_errors=True)
        shutil.copytree(worker.scratch, target)


_STACK, _WORDS = "stack.txt", "words.txt"


def _work(job: Job, scratch: Path, pipe: Connection) -> None:
    """Judge the numbers that come through the pipe; runs in a process of its own."""
    import signal

    os.environ.update(SETTINGS)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_AS, (_used_bytes() + _MEMORY_BYTES,) * 2)
    with (scratch / _STACK).open("w", encoding="utf-8") as stack:
        faulthandler.enable(stack)
        faulthandler.register(signal.SIGTERM, stack, chain=True)
        if job.plant is not None:
            job.plant()
        while True:
            try:
                number = pipe.recv()
            except EOFError:
                return
            pipe.send(judge(number, job.seed, job.kits, job.kits_folder, scratch / "made", pipe.send))


def _used_bytes() -> int:
    pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[0]
    return int(pages) * resource.getpagesize()
