import ast
import doctest
import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import geo_scout

PACKAGE = Path(geo_scout.__file__).parent
NAMES = [info.name for info in pkgutil.walk_packages([str(PACKAGE)], "geo_scout.")]


@pytest.mark.parametrize("name", NAMES)
def test_examples_in_docstrings_are_true(name):
    if name == "geo_scout.__main__":
        return
    failures, _ = doctest.testmod(importlib.import_module(name), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert failures == 0


def quantities(function: ast.FunctionDef) -> list[str]:
    """Return the parameters whose names carry a unit."""
    unit = re.compile(r"_(m|km|ha|deg|degc|mm|pct|share|years|days)$")
    return [argument.arg for argument in function.args.args if unit.search(argument.arg)]


def public_formulas() -> list[tuple[str, ast.FunctionDef]]:
    found = []
    for path in sorted((PACKAGE / "formulas").rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and quantities(node):
                found.append((f"{path.stem}.{node.name}", node))
    return found


@pytest.mark.parametrize(("name", "function"), public_formulas(), ids=[name for name, _ in public_formulas()])
def test_formulas_state_their_units(name, function):
    text = ast.get_docstring(function) or ""
    assert re.search(r"\[[^\]]+\]", text), f"{name} documents no unit"
    assert [one for one in quantities(function) if one not in text] == []
