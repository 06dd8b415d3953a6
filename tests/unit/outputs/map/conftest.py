"""The invented season, made once; its folder is no package, so it is loaded by its path."""

import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from geo_scout.model.result import SeasonResult

SEASON_FILE = Path(__file__).parents[3] / "map_season.py"


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("map_season", SEASON_FILE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def make_season() -> Callable[..., SeasonResult]:
    return _load().make_season


@pytest.fixture(scope="session")
def season(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    return make_season()
