"""The books of these tests, loaded by path: the tests are no package."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

BOOKS_FILE = Path(__file__).parents[2] / "site_books.py"


@pytest.fixture(scope="session")
def books() -> ModuleType:
    spec = importlib.util.spec_from_file_location("site_books", BOOKS_FILE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
