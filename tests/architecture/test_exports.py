import ast
import subprocess
import sys
from pathlib import Path

import pytest

import geo_scout

PUBLIC = {
    "AgentProfile", "CheckResult", "CriterionValue", "Evidence", "Exclusion", "Finding", "GeoScoutError",
    "InputMistakes", "LayerSet", "LegalQuestion", "OutputsBlocked", "Problem", "Ranking", "Season",
    "SeasonResult", "Sites", "UnknownSite", "check", "explain", "explain_result", "read_season", "run", "start",
}  # fmt: skip


def test_public_names_are_these():
    assert set(geo_scout.__all__) == PUBLIC
    assert set(dir(geo_scout)) == PUBLIC


@pytest.mark.parametrize("name", sorted(PUBLIC))
def test_every_public_name_loads_and_is_documented(name):
    assert getattr(geo_scout, name).__doc__


def test_an_unknown_name_is_an_attribute_error():
    with pytest.raises(AttributeError, match="has no attribute 'no_such_name'"):
        _ = geo_scout.no_such_name


def test_module_runs_like_the_console_script():
    answer = subprocess.run(
        [sys.executable, "-m", "geo_scout", "--version"], capture_output=True, text=True, check=True
    )
    assert answer.stdout.startswith("geo-scout, version ")


def test_disk_is_touched_only_by_functions_that_say_so():
    """`open(` and path readers and writers stand only in functions whose name starts with read, open, write."""
    package = Path(geo_scout.__file__).parent
    calls = {"read_text", "read_bytes", "write_text", "write_bytes", "read_dataframe", "write_dataframe"}
    said = ("read_", "open_", "write_", "_read", "_open", "_write", "draw_")
    exempt = {package / "cli" / "main.py"}  # the crash file
    found = []
    for path in package.rglob("*.py"):
        if path in exempt:
            continue
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                not isinstance(function, ast.FunctionDef)
                or function.name.startswith(said)
                or function.name == "write"
            ):
                continue
            names = {
                n.func.attr
                for n in ast.walk(function)
                if isinstance(n, ast.Call) and isinstance(n.func, ast.Attribute)
            }
            if names & calls:
                found.append(f"{path.relative_to(package)}: {function.name}")
    assert found == []
