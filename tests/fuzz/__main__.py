"""Thousands of damaged seasons checked and run: none may end in a traceback, a hang or half an output.

python -m tests.fuzz --mutations 2000        all of them
python -m tests.fuzz --only 734              one of them again
"""

import argparse
import os
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Sequence
from pathlib import Path

from tests.fuzz.cut_down import read_cut_down
from tests.fuzz.judging import Verdict
from tests.fuzz.kits import write_kits
from tests.fuzz.watching import PATIENCE_SECONDS, SETTINGS, Job, judge_all

_SHOWN_LINES = 25


def main(arguments: Sequence[str] | None = None) -> int:
    """Judge the mutations and return 1 where one did what none may."""
    asked = _parser().parse_args(arguments)
    numbers = asked.only or list(range(asked.first, asked.first + asked.mutations))
    os.environ.update(SETTINGS)
    with tempfile.TemporaryDirectory(prefix="fuzz-") as folder:
        kits_folder = Path(folder) / "kits"
        kits = write_kits(read_cut_down(), kits_folder)
        job = Job(asked.seed, kits, kits_folder, asked.patience, keep=asked.keep)
        begun, verdicts = time.monotonic(), []
        for verdict in judge_all(numbers, job, asked.workers):
            verdicts.append(verdict)
            if verdict.problem:
                print(told(verdict, asked.seed), flush=True)
            if len(verdicts) % 250 == 0:
                print(f"{len(verdicts)} of {len(numbers)} in {time.monotonic() - begun:.0f} s", flush=True)
            if asked.verbose:
                print(f"{verdict.seconds:.2f}", verdict.check, verdict.run, verdict.mutation, flush=True)
    print(summary(verdicts, time.monotonic() - begun))
    return int(any(verdict.problem for verdict in verdicts))


def told(verdict: Verdict, seed: int) -> str:
    """Return a failure in full: what was changed, what happened, how to see it again."""
    detail = "\n".join(f"    {line[:300]}" for line in verdict.detail.splitlines()[-_SHOWN_LINES:])
    made = verdict.mutation
    words = f"{made.kind} of {made.kit}: {made.words[:400]}" if made is not None else "unknown"
    again = f"python -m tests.fuzz --seed {seed} --only {verdict.number}"
    return f"\nFAILED {verdict.number}: {verdict.problem}\n  changed: {words}\n  again: {again}\n{detail}"


def summary(verdicts: Sequence[Verdict], seconds: float) -> str:
    """Return how many mutations of each kind were stopped, passed and run, and each different failure."""
    used = sum(verdict.seconds for verdict in verdicts)
    lines = [f"\n{len(verdicts)} mutations in {seconds:.0f} s, {used:.0f} s of them computing"]
    kinds = sorted({v.mutation.kind for v in verdicts if v.mutation is not None})
    for kind in kinds:
        of_kind = [v for v in verdicts if v.mutation is not None and v.mutation.kind == kind]
        ends = Counter(f"check {v.check}" for v in of_kind) + Counter(
            f"run {v.run}" for v in of_kind if v.run >= 0
        )
        slowest = max(of_kind, key=lambda v: v.seconds)
        counts = ", ".join(f"{name}: {number}" for name, number in sorted(ends.items()))
        lines.append(
            f"  {kind:7} {len(of_kind):5}   {counts}; slowest {slowest.number}: {slowest.seconds:.1f} s"
        )
    failures: dict[str, list[int]] = defaultdict(list)
    for verdict in verdicts:
        if verdict.problem:
            failures[verdict.problem].append(verdict.number)
    for problem, numbers in sorted(failures.items(), key=lambda item: -len(item[1])):
        lines.append(f"  FAILED {len(numbers)}: {problem[:250]}  {sorted(numbers)[:6]}")
    lines.append(f"{sum(map(len, failures.values()))} failed, in {len(failures)} ways")
    return "\n".join(lines)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__.splitlines()[0])
    parser.add_argument("--mutations", type=int, default=2000, help="how many")
    parser.add_argument("--first", type=int, default=1, help="number of the first")
    parser.add_argument("--only", type=int, nargs="+", help="only these numbers")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2, help="processes at once")
    parser.add_argument("--patience", type=float, default=PATIENCE_SECONDS, help="seconds a command may take")
    parser.add_argument("--keep", type=Path, help="folder to keep failing seasons in")
    parser.add_argument("--verbose", action="store_true", help="tell every mutation")
    return parser


if __name__ == "__main__":
    sys.exit(main())
