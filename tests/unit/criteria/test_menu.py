from pathlib import Path

import numpy as np
import pytest

import geo_scout.criteria
from geo_scout.criteria import describe_measure, measure_all
from geo_scout.criteria.menu import open_criterion
from geo_scout.model.criteria import ReleaseCriteria, SourceCriteria
from geo_scout.model.quantities import QUANTITIES

ROOM = Path(geo_scout.criteria.__file__).parent
MODULES = {path.stem for path in [*ROOM.glob("*.py"), *(one.parent for one in ROOM.glob("*/__init__.py"))]}
MODULES -= {"__init__", "menu"}


def test_every_setting_has_a_module_and_every_module_a_setting():
    assert set(ReleaseCriteria.model_fields) == MODULES
    assert set(SourceCriteria.model_fields) <= MODULES


@pytest.mark.parametrize("name", sorted(MODULES))
def test_a_criterion_is_four_things(name):
    criterion = open_criterion(name)
    public = {one for one in vars(criterion) if one in ("NEEDS", "UNIT", "measure", "describe")}
    assert public == {"NEEDS", "UNIT", "measure", "describe"}
    assert set(criterion.NEEDS) <= set(QUANTITIES)


@pytest.mark.parametrize("name", sorted(MODULES))
def test_measuring_no_sites_gives_no_measures(name):
    matrix = {"site_climate", "population_climate", "climate_cells"}
    empty = {need: np.zeros((0, 2) if need in matrix else 0) for need in QUANTITIES}
    assert len(open_criterion(name).measure(empty).value) == 0


def test_each_criterion_sees_only_what_it_needs(monkeypatch):
    seen = {}
    for name in ("host_area", "crew_distance"):
        module = open_criterion(name)
        original = module.measure
        monkeypatch.setattr(
            module,
            "measure",
            lambda columns, name=name, original=original: (
                seen.update({name: set(columns)}) or original(columns)
            ),
        )
    columns = {name: np.array([1.0]) for name in QUANTITIES}
    measures = measure_all(["host_area", "crew_distance"], columns)
    assert list(measures) == ["host_area", "crew_distance"]
    assert seen == {
        "host_area": {"infested_ha", "infested_low_ha", "infested_high_ha"},
        "crew_distance": {"crew_distance_km"},
    }
    assert describe_measure("crew_distance", measures["crew_distance"], 0).startswith("1.0 km")
