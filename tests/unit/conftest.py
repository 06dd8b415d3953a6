"""The frames of these tests, loaded by path: the tests are no package."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

FRAMES_FILE = Path(__file__).parents[1] / "sites_frames.py"


def load_frames() -> ModuleType:
    spec = importlib.util.spec_from_file_location("sites_frames", FRAMES_FILE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def frames() -> ModuleType:
    return load_frames()
