"""How far the site's elevation lies from the nearest population in elevation."""

import numpy as np

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import Columns

NEEDS = ("elevation_m", "population_elevation_m", "population_names")
UNIT = "m"


def measure(columns: Columns) -> CriterionValue:
    """Return the smallest absolute elevation difference to a confirmed or known population [m].

    Missing where the site, or every population, has no elevation.
    """
    site = np.asarray(columns["elevation_m"], dtype=np.float64)
    population = np.asarray(columns["population_elevation_m"], dtype=np.float64)
    usable = np.flatnonzero(~np.isnan(population))
    known = ~np.isnan(site) & (len(usable) > 0)
    value = np.full(len(site), np.nan)
    note = ["no elevation at the site" if np.isnan(one) else "no population has an elevation" for one in site]
    if len(usable):
        ordered = usable[np.argsort(population[usable], kind="stable")]
        for index in np.flatnonzero(known):
            nearest = _nearest(population[ordered], site[index])
            value[index] = abs(site[index] - population[ordered[nearest]])
            other = ordered[nearest]
            note[index] = f"from {columns['population_names'][other]} at {population[other]:.1f} m"
    return CriterionValue(
        unit=UNIT,
        value=value,
        low=value,
        high=value,
        known=known,
        note=tuple(note),
        details={"elevation_m": site},
    )


def describe(value: CriterionValue, index: int) -> str:
    """Say the difference of one patch."""
    if not value.known[index]:
        return f"elevation difference unknown: {value.note[index]}"
    return f"{value.value[index]:.0f} m of elevation {value.note[index]}"


def _nearest(ordered: "np.ndarray[tuple[int], np.dtype[np.float64]]", target: float) -> int:
    right = int(np.searchsorted(ordered, target).clip(1, max(len(ordered) - 1, 1)))
    if len(ordered) == 1:
        return 0
    return right if ordered[right] - target < target - ordered[right - 1] else right - 1
