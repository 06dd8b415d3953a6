import json
import subprocess
import sys

import pytest
from importlinter.cli import lint_imports

HEAVY = (
    "numpy",
    "pandas",
    "pydantic",
    "geopandas",
    "shapely",
    "rasterio",
    "pyproj",
    "scipy",
    "folium",
    "rich",
)


def test_import_contracts_hold(project_root, monkeypatch, capsys):
    monkeypatch.chdir(project_root)
    # 0 is import-linter's "all contracts kept"; anything else prints the broken one.
    assert lint_imports(no_cache=True) == 0, capsys.readouterr().out


@pytest.mark.parametrize("module", ["geo_scout", "geo_scout.cli"])
def test_importing_loads_nothing_heavy(module):
    code = f"import sys, json, {module}; print(json.dumps(sorted(sys.modules)))"
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(json.loads(answer.stdout))
    assert module in loaded
    assert [name for name in HEAVY if name in loaded] == []


def test_a_run_loads_no_statistics():
    """``scipy.stats`` alone takes longer to load than a small season takes to weigh its records."""
    code = "import sys, geo_scout.pipeline.season_run; print('scipy.stats' in sys.modules)"
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "False"


def test_importing_is_silent():
    answer = subprocess.run(
        [sys.executable, "-W", "error", "-c", "import geo_scout.cli"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert (answer.stdout, answer.stderr) == ("", "")
