"""The list of checks across layers."""

import sys
from pathlib import Path

from geo_scout.layers.crosschecks.crosscheck import CHECKS, crosscheck
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft


def test_every_check_has_a_test_of_its_own():
    folder = Path(str(sys.modules[crosscheck.__module__].__file__)).parent
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
