"""The list of checks across layers, and that they cost little."""

import time
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely

import geo_scout.layers
from geo_scout.layers.crosscheck import CHECKS, crosscheck
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.layers_read import LayersRead


def test_every_check_has_a_test_of_its_own():
    folder = Path(geo_scout.layers.__file__).parent
    tests = {path.name for path in Path(__file__).parent.glob("test_*.py")}
    for check in CHECKS:
        module = check.__module__.rpartition(".")[2]
        assert (folder / f"{module}.py").is_file()
        assert f"test_{module}.py" in tests


def test_layers_that_stop_and_empty_ones_are_not_asked(folder):
    season = folder.season()
    draft = LayerDraft("infestations", table=season.settings.layers.infestations, season=season)
    read = LayersRead(season, {"infestations": draft}, {}, {"infestations": draft})
    crosscheck(read)
    assert draft.findings == []
    assert read.usable("infestations") is None
    assert read.usable("roads") is None


@pytest.mark.parametrize("number", [20_000])
def test_many_polygons_cost_little(folder, number):
    """A lattice of squares that touch: the worst case of the search for overlaps. Measured beside reading them."""
    folder.write("boundaries", [shapely.box(-111, 46, -108, 49)], district="Upper", jurisdiction="Quill")
    side = int(np.sqrt(number))
    row, column = (grid.ravel() for grid in np.mgrid[:side, :side])
    west, south = -110 + 0.001 * column, 47 + 0.001 * row
    shapes = shapely.box(west, south, west + 0.001, south + 0.001)
    folder.write("infestations", shapes, host="ashthorn", cover=1.0, survey_date="2025-06-01",
                 id=[f"K{n}" for n in range(len(shapes))])  # fmt: skip
    start = time.perf_counter()
    folder.read()
    whole = time.perf_counter() - start
    season = folder.season()
    frame = gpd.GeoDataFrame(
        {"row": np.arange(1, len(shapes) + 1), "id": [f"K{n}" for n in range(len(shapes))], "host": "ashthorn"},
        geometry=shapes,
        crs=4326,
    ).to_crs(32612)
    draft = LayerDraft(
        "infestations", table=season.settings.layers.infestations, season=season, frame=frame, crs=frame.crs
    )
    read = LayersRead(season, {"infestations": draft}, {}, {"infestations": draft})
    start = time.perf_counter()
    crosscheck(read)
    checks = time.perf_counter() - start
    print(f"{len(shapes):,} polygons: {whole:.2f} s to read and check, {checks:.2f} s of it checks")
    assert checks < whole
