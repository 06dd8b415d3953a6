"""Finds a criterion's module by its name and hands it exactly what it needs."""

from collections.abc import Iterable
from importlib import import_module
from typing import Protocol, cast

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns


class CriterionModule(Protocol):
    """What every criterion module offers."""

    NEEDS: tuple[str, ...]
    UNIT: str

    def measure(self, columns: Columns) -> CriterionValue:
        """Measure every site."""
        ...

    def describe(self, value: CriterionValue, index: int) -> str:
        """Say one site's measure in words."""
        ...


def open_criterion(name: str) -> CriterionModule:
    """Return the module of a criterion."""
    return cast("CriterionModule", import_module(f"geo_scout.criteria.{name}"))


def measure_all(names: Iterable[str], columns: Columns) -> dict[str, CriterionValue]:
    """Return the measure of each named criterion for every site.

    Parameters
    ----------
    names
        Criteria, each the name of a module of this room.
    columns
        Every quantity of ``model.quantities.QUANTITIES``; each criterion sees only its NEEDS.
    """
    measures = {}
    for name in names:
        criterion = open_criterion(name)
        measures[name] = criterion.measure({need: columns[need] for need in criterion.NEEDS})
    return measures


def needs_of(names: Iterable[str]) -> frozenset[str]:
    """Return every quantity the named criteria need."""
    return frozenset(need for name in names for need in open_criterion(name).NEEDS)


def measure_column(name: str) -> str:
    """Return the table column of a criterion's measure.

    >>> measure_column("host_area"), measure_column("heat_load")
    ('host_area_ha', 'heat_load')
    """
    unit = open_criterion(name).UNIT
    return f"{name}_{unit}" if unit else name


def describe_measure(name: str, value: CriterionValue, index: int) -> str:
    """Return one site's measure in words."""
    return open_criterion(name).describe(value, index)
