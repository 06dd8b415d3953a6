import ast
import io
import statistics
import tokenize
from pathlib import Path

import numpy as np
import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "geo_scout"
MODULES = sorted(PACKAGE.rglob("*.py"))
MOST_LINES, MEDIAN_LINES, FUNCTION_LINES_P90 = 250, 80, 40
LAYOUT = {
    tokenize.COMMENT,
    tokenize.NL,
    tokenize.NEWLINE,
    tokenize.INDENT,
    tokenize.DEDENT,
    tokenize.ENDMARKER,
}


def code_lines(source: str) -> set[int]:
    """Return the line numbers that hold code: no blanks, comments or docstrings."""
    lines: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type not in LAYOUT:
            lines.update(range(token.start[0], token.end[0] + 1))
    return lines - docstring_lines(ast.parse(source))


def docstring_lines(tree: ast.Module) -> set[int]:
    lines: set[int] = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", [])
        if isinstance(body, list):
            for one in body:
                if (
                    isinstance(one, ast.Expr)
                    and isinstance(one.value, ast.Constant)
                    and isinstance(one.value.value, str)
                ):
                    lines.update(range(one.lineno, (one.end_lineno or one.lineno) + 1))
    return lines


def function_sizes(path: Path) -> list[int]:
    source = path.read_text(encoding="utf-8")
    counted = code_lines(source)
    functions = [n for n in ast.walk(ast.parse(source)) if isinstance(n, ast.FunctionDef)]
    return [len(counted & set(range(n.lineno, (n.end_lineno or n.lineno) + 1))) for n in functions]


def test_the_counter_counts_code_only():
    assert code_lines('"""Doc."""\n\n# why\nx = 1\n\ndef f():\n    """Doc."""\n    return 2\n') == {4, 6, 8}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_module_is_too_long(path):
    assert len(code_lines(path.read_text(encoding="utf-8"))) <= MOST_LINES


def test_the_median_module_is_short():
    sizes = [
        len(code_lines(path.read_text(encoding="utf-8"))) for path in MODULES if path.name != "__init__.py"
    ]
    assert statistics.median(sizes) <= MEDIAN_LINES


def test_nine_functions_in_ten_are_short():
    sizes = [size for path in MODULES for size in function_sizes(path)]
    assert np.percentile(sizes, 90) <= FUNCTION_LINES_P90


def test_no_room_for_odds_and_ends():
    odd = {"utils", "util", "helpers", "common", "core", "misc", "manager"}
    assert [path for path in PACKAGE.rglob("*") if path.stem in odd] == []
