"""Chromium, and the invented season; its folder is no package, so it is loaded by its path."""

import importlib.util
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest
from playwright.sync_api import Browser, sync_playwright

from geo_scout.model.result import SeasonResult

SEASON_FILE = Path(__file__).parents[1] / "map_season.py"


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


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium as installed on this machine; Playwright's own download is not needed."""
    names = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
    program = next((found for name in names if (found := shutil.which(name))), None)
    if program is None:
        reason = "no Chromium on this machine: the map's browser tests need one on the PATH"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(
            executable_path=program, args=["--no-sandbox", "--host-resolver-rules=MAP * ~NOTFOUND"]
        )
        yield launched
        launched.close()
