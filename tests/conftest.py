"""What every test shares: where things are, how Python runs, and the rule that CI skips nothing silently."""

import gc
import os
from pathlib import Path

import pytest
from hypothesis import Phase, settings

# Planted faults are only to be noticed: to look for the smallest example of each takes minutes.
settings.register_profile("unshrunk", phases=[Phase.explicit, Phase.reuse, Phase.generate])
ROOT = Path(__file__).resolve().parents[1]
ALLOWED_SKIPS = ROOT / "tests" / "allowed_skips.txt"


def pytest_configure(config: pytest.Config) -> None:
    """Let workers and the programs they start keep what Python compiles; leave rubbish alone while tests are read.

    With -n 0 nothing is changed: whoever plants faults asks for no bytecode, which might outlive a fault.
    """
    if hasattr(config, "workerinput") or config.getoption("numprocesses", 0):
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    gc.disable()


def pytest_collection_finish() -> None:
    """Collect rubbish again; what the tests themselves are made of stays to the end."""
    gc.collect()
    gc.freeze()
    gc.enable()


def allowed_skips() -> dict[str, str]:
    """Return the tests that may skip in CI, with the reason beside each."""
    lines = ALLOWED_SKIPS.read_text(encoding="utf-8").splitlines()
    pairs = (line.split(" # ", 1) for line in lines if line.strip() and not line.startswith("#"))
    return {test.strip(): reason for test, reason in pairs}


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> object:
    """Turn a skip into a failure in CI, unless the list of allowed skips names the test."""
    report = yield
    if os.environ.get("CI") and report.skipped and not hasattr(report, "wasxfail"):
        test = item.nodeid.split("[")[0]
        if test not in allowed_skips():
            report.outcome = "failed"
            report.longrepr = (
                f"skipped in CI: {report.longrepr}; name it in tests/allowed_skips.txt or mend it"
            )
    return report


@pytest.fixture(scope="session")
def project_root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def sample_season() -> Path:
    return ROOT / "sample_layers" / "season.toml"
