import pytest

import geo_scout
from geo_scout.model.result import SeasonResult


@pytest.fixture(scope="session")
def sample(sample_season) -> SeasonResult:
    """The sample season's result, kept in memory."""
    return geo_scout.run(sample_season, write=False)
