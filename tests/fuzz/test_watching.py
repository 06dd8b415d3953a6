"""The fuzzer watched: with a fault planted it fails, and says at which number."""

import os
import signal
import time
from importlib import import_module
from pathlib import Path

import pytest

from geo_scout.layers import vectors
from geo_scout.pipeline import season_run
from tests.fuzz.__main__ import told
from tests.fuzz.cut_down import read_cut_down
from tests.fuzz.kits import Kit, write_kits
from tests.fuzz.mutation import write_mutation
from tests.fuzz.watching import PATIENCE_SECONDS, Job, judge_all

SEED = 1
# Treatments are brought to another system, which `check` lets through; and a raster that it stops at.
PASSES, STOPS = 12, 22


@pytest.fixture(scope="module")
def kits_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("kits")


@pytest.fixture(scope="module")
def kits(kits_folder: Path) -> tuple[Kit, ...]:
    return write_kits(read_cut_down(), kits_folder)


def raise_key_error() -> None:
    def open_source(*_: object) -> None:
        message = "planted"
        raise KeyError(message)

    vectors.open_source = open_source


def never_end() -> None:
    vectors.open_source = lambda *_: time.sleep(600)


def die() -> None:
    vectors.open_source = lambda *_: os.kill(os.getpid(), signal.SIGSEGV)


def leave_a_file_beside_the_inputs() -> None:
    read_layers = season_run.read_layers

    def read_and_write(season):
        (season.folder / "left.tmp").touch()
        return read_layers(season)

    season_run.read_layers = read_and_write


def run_in_spite_of_a_stop() -> None:
    season_run.usable = lambda layers: layers


def print_what_hides() -> None:
    import_module("geo_scout.cli.shell").printable = lambda text: (
        f"{text} gate \N{RIGHT-TO-LEFT OVERRIDE}kcab"
    )


@pytest.mark.parametrize(
    ("plant", "number", "problem"),
    [
        (raise_key_error, PASSES, "check: KeyError: 'planted' (layers/vectors.py"),
        (never_end, PASSES, "check: no end after"),
        (die, PASSES, "check: the process died with signal 11"),
        (leave_a_file_beside_the_inputs, PASSES, "check changed files"),
        (run_in_spite_of_a_stop, STOPS, "run"),
        (print_what_hides, PASSES, "check printed '\\u202e'"),
    ],
)
def test_a_planted_fault_is_told_with_its_number(kits, kits_folder, plant, number, problem):
    patience_seconds = 5.0 if plant is never_end else PATIENCE_SECONDS
    job = Job(SEED, kits, kits_folder, patience_seconds, plant=plant)
    [verdict] = judge_all([number], job, workers=1)
    assert verdict.number == number
    assert verdict.problem.startswith(problem)
    assert f"--seed {SEED} --only {number}" in told(verdict, SEED)


def test_without_a_fault_the_same_numbers_pass(kits, kits_folder):
    verdicts = judge_all([PASSES, STOPS], Job(SEED, kits, kits_folder), workers=2)
    ends = {verdict.number: (verdict.check, verdict.problem) for verdict in verdicts}
    assert ends == {PASSES: (0, ""), STOPS: (2, "")}


def test_a_worker_that_died_does_not_end_the_others(kits, kits_folder):
    job = Job(SEED, kits, kits_folder, plant=die)
    verdicts = list(judge_all([PASSES, STOPS, PASSES], job, workers=2))
    assert sorted(verdict.number for verdict in verdicts) == [PASSES, PASSES, STOPS]
    assert all("signal 11" in verdict.problem for verdict in verdicts)


def test_a_number_is_the_same_season_each_time(kits, kits_folder, tmp_path):
    for number in range(1, 25):
        one = write_mutation(number, SEED, kits, kits_folder, tmp_path / "one")
        other = write_mutation(number, SEED, kits, kits_folder, tmp_path / "other")
        assert one == other
        for path in (tmp_path / "one").rglob("*"):
            # A GeoPackage keeps the moment it was written in.
            if path.is_file() and path.suffix not in {".gpkg", ".sqlite", ".gdbtable", ".dbf"}:
                assert (
                    path.read_bytes()
                    == (tmp_path / "other" / path.relative_to(tmp_path / "one")).read_bytes()
                )
