"""Benchmarks print seconds and megabytes; only ratios within one run can fail."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--scale", type=float, default=1.0, help="share of the full size")


@pytest.fixture(scope="session")
def scale(request: pytest.FixtureRequest) -> float:
    return float(request.config.getoption("--scale"))
