"""A few of the damaged seasons of tests/fuzz, so that a broken reader is noticed before CI makes thousands."""

from pathlib import Path

import pytest

from geo_scout.layers import vectors
from tests.fuzz.cut_down import read_cut_down
from tests.fuzz.judging import judge
from tests.fuzz.kits import Kit, write_kits
from tests.fuzz.mutation import KINDS

pytestmark = pytest.mark.slow

SEED = 1
# Quick ones of every kind and season: some that `check` stops at, some it lets through, and a whole run.
FEW = (13, 15, 17, 18, 23, 29, 32, 33, 38, 39, 44, 45, 61, 62, 70, 71, 72, 73, 74, 79)


@pytest.fixture(scope="module")
def kits_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("kits")


@pytest.fixture(scope="module")
def kits(kits_folder: Path) -> tuple[Kit, ...]:
    return write_kits(read_cut_down(), kits_folder)


def test_no_mutation_ends_in_a_traceback_or_half_an_output(kits, kits_folder, tmp_path):
    verdicts = [judge(number, SEED, kits, kits_folder, tmp_path / "one") for number in FEW]
    told = [f"{one.number}: {one.problem}\n{one.mutation}\n{one.detail}" for one in verdicts if one.problem]
    assert not told, "\n\n".join(told)
    made = [one.mutation for one in verdicts if one.mutation is not None]
    assert {one.kind for one in made} == set(KINDS)
    assert {one.kit for one in made} == {kit.name for kit in kits}
    assert {one.check for one in verdicts} == {0, 2}
    assert {one.run for one in verdicts} >= {0, 2}


def test_a_planted_fault_is_told_with_its_number(kits, kits_folder, tmp_path, monkeypatch):
    def open_source(*_: object) -> None:
        message = "planted"
        raise KeyError(message)

    monkeypatch.setattr(vectors, "open_source", open_source)
    verdict = judge(1, SEED, kits, kits_folder, tmp_path / "one")
    assert (verdict.number, verdict.check) == (1, 70)
    assert verdict.problem.startswith("check: KeyError: 'planted' (layers/vectors.py")
