"""The frames of these tests."""

from types import ModuleType

import pytest

from tests import sites_frames


@pytest.fixture(scope="session")
def frames() -> ModuleType:
    return sites_frames
