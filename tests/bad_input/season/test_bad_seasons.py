"""Every folder beside this file is a broken season with the whole message a person must get."""

from pathlib import Path

import pytest

from geo_scout.errors import InputMistakes
from geo_scout.season import read_season
from tests.bad_input.command_line import contents

CASES = sorted(item.parent for item in Path(__file__).parent.glob("*/expected.txt"))


def test_the_cases_are_found() -> None:
    assert len(CASES) >= 35


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_whole_message(case: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = contents(case)
    monkeypatch.chdir(case)
    with pytest.raises(InputMistakes) as raised:
        read_season("season.toml")
    assert str(raised.value) + "\n" == (case / "expected.txt").read_text(encoding="utf-8")
    assert raised.value.exit_code == 2
    assert contents(case) == before
