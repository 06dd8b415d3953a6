"""Benchmarks print seconds and megabytes; only ratios within one run can fail."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--scale", type=float, default=1.0, help="share of the full size")
    parser.addoption(
        "--every",
        type=int,
        default=20,
        help="the slowest baseline's slowest step on every so many patches; 1 is all of them",
    )


@pytest.fixture(scope="session")
def scale(request: pytest.FixtureRequest) -> float:
    return float(request.config.getoption("--scale"))


@pytest.fixture(scope="session")
def every(request: pytest.FixtureRequest) -> int:
    return int(request.config.getoption("--every"))
