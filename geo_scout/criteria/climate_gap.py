"""Climate gap to the best-matching confirmed or known population; lower is better."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.climate_distance import (
    condition_problem,
    covariance,
    mahalanobis,
    regional_distance,
    share_of_distance,
)
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import CLIMATE_VARIABLES, Columns

NEEDS = ("site_climate", "population_climate", "climate_cells", "climate_variables", "population_names")
UNIT = ""
KIND = "regional"
CELLS_PER_VARIABLE = 10


def measure(columns: Columns) -> CriterionValue:
    """Return D / sqrt(2) to the best-matching population, with D, K, n and the number of populations.

    The covariance is that of the climate cells that hold the host. Missing, with the reason, where
    there is no climate, no population, fewer than 10 K cells, or variables that depend on each other.

    Notes
    -----
    For ranking only. It is a distance between two places of the region, not a probability that the
    agent establishes.
    """
    site = np.asarray(columns["site_climate"], dtype=np.float64)
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    cells = np.asarray(columns["climate_cells"], dtype=np.float64)
    cells = cells[~np.isnan(cells).any(axis=1)]
    variables = [str(name) for name in columns["climate_variables"]]
    usable = np.asarray(~np.isnan(population).any(axis=1))
    spread = covariance(cells)
    reason = _why_missing(variables, cells, usable, spread, site)
    if reason:
        return _missing(site, reason, len(variables), len(cells), int(usable.sum()))
    distance = mahalanobis(site, population[usable], spread)
    names = np.asarray(columns["population_names"], dtype=object)[usable]
    return _known(site, population[usable], names, variables, cells, spread, distance)


def describe(value: CriterionValue, index: int) -> str:
    """Say the gap of one patch and what drives it."""
    if not value.known[index]:
        return f"climate gap not scored: {value.note[index]}"
    return f"climate gap {value.value[index]:.2f} (regional distance) {value.note[index]}"


def _why_missing(
    variables: list[str],
    cells: NDArray[np.float64],
    usable: NDArray[np.bool_],
    spread: NDArray[np.float64],
    site: NDArray[np.float64],
) -> str:
    if site.size == 0 or np.isnan(site).all():
        return "no climate layer has values here"
    if not usable.any():
        return "no climate evidence: no confirmed or known population has a climate"
    needed = CELLS_PER_VARIABLE * len(variables)
    if len(cells) < needed:
        return (
            f"{len(cells)} climate cells hold the host and {len(variables)} variables need {needed}; "
            "use fewer variables or a wider climate reference"
        )
    clash = condition_problem(spread, variables)
    if clash:
        return f"{', '.join(clash)} cannot be told apart in these climate cells; leave one out"
    return ""


def _missing(
    site: NDArray[np.float64], reason: str, variables: int, cells: int, populations: int
) -> CriterionValue:
    count = len(site)
    empty = np.full(count, np.nan)
    return CriterionValue(
        unit=UNIT,
        value=empty,
        low=empty,
        high=empty,
        known=np.zeros(count, dtype=bool),
        note=(reason,) * count,
        details=_details(count, KIND, empty, variables, cells, populations, np.full(count, "", dtype=object)),
    )


def _known(
    site: NDArray[np.float64],
    population: NDArray[np.float64],
    names: NDArray[np.object_],
    variables: list[str],
    cells: NDArray[np.float64],
    spread: NDArray[np.float64],
    distance: NDArray[np.float64],
) -> CriterionValue:
    known = np.asarray(~np.isnan(distance).any(axis=1))
    best = np.zeros(len(site), dtype=np.intp)
    best[known] = distance[known].argmin(axis=1)
    nearest = np.where(known, np.take_along_axis(distance, best[:, None], axis=1)[:, 0], np.nan)
    difference = site - population[best]
    shares = share_of_distance(difference, spread)
    gap = regional_distance(nearest)
    note = tuple(
        _note(str(names[best[i]]), variables, difference[i], shares[i])
        if known[i]
        else "no climate value here"
        for i in range(len(site))
    )
    matched = np.where(known, names[best], "").astype(object)
    details = _details(len(site), KIND, nearest, len(variables), len(cells), len(population), matched)
    return CriterionValue(unit=UNIT, value=gap, low=gap, high=gap, known=known, note=note, details=details)


def _note(
    name: str, variables: list[str], difference: NDArray[np.float64], share: NDArray[np.float64]
) -> str:
    """Say which variable sets the site apart most, and which ones offset part of that."""
    if np.isnan(share).any():
        return f"from {name}: the same climate"
    driver = int(np.argmax(share))
    apart = f"{CLIMATE_VARIABLES[variables[driver]][1]} {_amount(variables[driver], difference[driver])}"
    offsets = [CLIMATE_VARIABLES[variables[i]][1] for i in np.flatnonzero(share < -0.005)]
    taken_off = f", partly offset by {' and '.join(offsets)}" if offsets else ""
    return f"from {name}; most apart: {apart}{taken_off}"


def _amount(variable: str, difference: float) -> str:
    """Return a difference in words; precipitation is compared as log(P + 1), so it is a share there."""
    unit = CLIMATE_VARIABLES[variable][0]
    side = "higher" if difference > 0 else "lower"
    if unit == "mm":
        return f"{abs(100 * np.expm1(difference)):.0f} % {side}"
    return f"{abs(difference):.1f} {unit.replace('degc', 'degC')} {side}"


def _details(
    count: int,
    kind: str,
    distance: NDArray[np.float64],
    variables: int,
    cells: int,
    populations: int,
    matched: NDArray[np.object_],
) -> dict[str, NDArray[np.generic]]:
    return {
        "climate_gap_kind": np.full(count, kind, dtype=object),
        "climate_gap_distance": distance,
        "climate_gap_variables": np.full(count, variables),
        "climate_gap_cells": np.full(count, cells),
        "climate_gap_populations": np.full(count, populations),
        "climate_gap_population": matched,
    }
