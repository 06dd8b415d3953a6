"""The raster files of these tests, loaded by path: the tests are no package."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


def load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parents[2] / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def files() -> ModuleType:
    return load("raster_files")


@pytest.fixture(scope="session")
def books() -> ModuleType:
    return load("site_books")
