"""The climate gap in words: what drives it, why it is missing, and whether the climate is a new one."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.criteria.climate_gap.rounded import decimals_of_variable
from geo_scout.formulas.climate_difference import Drivers
from geo_scout.formulas.novelty import LEAST_POPULATIONS, Novelty
from geo_scout.model.climate_spread import ClimateSpread, SpreadRefusal
from geo_scout.model.quantities import CLIMATE_VARIABLES

FloatArray = NDArray[np.float64]

# How people say a variable, and what less and more of it are called.
_SAID: dict[str, tuple[str, str, str]] = {
    "bio01": ("the year", "colder", "warmer"),
    "bio05": ("the warmest month", "cooler", "hotter"),
    "bio06": ("winters", "colder", "milder"),
    "bio10": ("summers", "cooler", "warmer"),
    "bio11": ("the coldest quarter", "colder", "milder"),
    "bio12": ("the year", "drier", "wetter"),
}
_LEAST_TOLD = 0.05


def difference_in_words(
    name: str, variables: Sequence[str], drivers: Drivers, place: int, difference: FloatArray
) -> str:
    """Return what sets one site apart from its population.

    Parameters
    ----------
    name
        The population.
    variables
        Names, (K,).
    drivers
        Shares of the squared distance at some sites.
    place
        Which of them.
    difference
        Site less population, (K,) [degC, mm, ...].
    """
    main = int(drivers.main[place])
    if main < 0:
        return f"from {name}: the same climate"
    share = 100 * float(drivers.share[place, main])
    said = f"from {name}: {_amount(variables[main], float(difference[main]))}; that drives the mismatch"
    told = f" ({share:.0f} % of it)" if share < 100 * (1 - _LEAST_TOLD) else ""
    offsets = [
        _amount(variables[int(i)], float(difference[i]))
        for i in np.flatnonzero(drivers.offsets[place])
        if _is_seen(variables[int(i)], float(difference[i]))
    ]
    return f"{said}{told}" + (f", partly offset by {' and '.join(offsets)}" if offsets else "")


def _amount(variable: str, difference: float) -> str:
    """Say a difference: "winters 4.1 degC colder"."""
    unit, meaning = CLIMATE_VARIABLES[variable]
    said, less, more = _SAID.get(variable, (meaning, "lower", "higher"))
    size = f"{abs(difference):.0f} mm" if unit == "mm" else f"{abs(difference):.1f} {_unit(unit)}"
    if not _is_seen(variable, difference):
        size = "less than 1 mm" if unit == "mm" else f"less than 0.1 {_unit(unit)}"
    return f"{said} {size} {less if difference < 0 else more}"


def _is_seen(variable: str, difference: float) -> bool:
    """Return whether a difference is at least half a printed unit, so that it does not print as 0."""
    return abs(difference) >= (0.5 if CLIMATE_VARIABLES[variable][0] == "mm" else 0.05)


def absent_in_words(variables: Sequence[str]) -> str:
    """Say that the rasters hold no value of some variables, wherever they were asked.

    >>> absent_in_words(["bio12"]).partition(":")[0]
    'no climate layer has a value of bio12 (annual precipitation) at any site or climate cell'
    """
    named = " and ".join(f"{name} ({CLIMATE_VARIABLES[name][1]})" for name in variables)
    it_comes = "it comes" if len(variables) == 1 else "they come"
    return (
        f"no climate layer has a value of {named} at any site or climate cell: the raster {it_comes} from is "
        "empty here or lacks the band"
    )


def truncated_in_words(spread: ClimateSpread, unseen: float) -> str:
    """Say that components which hardly vary were left out; empty where none were.

    Parameters
    ----------
    spread
        What the difference was measured against.
    unseen
        Share of the squared difference that lies in what was left out; nan where there is no difference
        [share].
    """
    if not spread.is_truncated:
        return ""
    said = f"; compared in {spread.kept} of {len(spread.variables)} components, the others hardly vary"
    if unseen < _LEAST_TOLD or np.isnan(unseen):
        return said
    return f"{said}, yet {100 * unseen:.0f} % of this difference lies in them: the gap is too small here"


def refusal_in_words(refusal: SpreadRefusal) -> str:
    """Say why there is nothing to measure a climate difference against."""
    names = ", ".join(refusal.variables)
    if refusal.reason == "too_few_cells":
        return (
            f"{refusal.have} climate cells or stations hold the host and {len(refusal.variables)} variables "
            f"need {refusal.need}; use fewer variables or a wider climate reference"
        )
    if refusal.reason == "too_few_years":
        return f"{refusal.have} years are given at the best of the populations; {refusal.need} are needed"
    if refusal.reason == "no_spread":
        return f"{names} never varies in the reference, so no difference in it can be judged; leave it out"
    return f"{names} cannot be told apart in the reference: each follows from the others; leave one out"


def describe_novelty(novelty: Novelty, site: FloatArray, variables: Sequence[str]) -> list[str]:
    """Say for each site whether its climate lies outside what the known populations have shown.

    With fewer than ten populations, or where a variable never varies among them, there is no score, and
    every value is said with the range of the populations.
    """
    count = novelty.populations
    populations = f"{count} known population{'' if count == 1 else 's'}"
    if novelty.is_scored:
        why = ""
    elif novelty.has_range.all() or count < LEAST_POPULATIONS:
        why = f"not scored, {populations} of {LEAST_POPULATIONS} needed: "
    else:
        still = [name for name, varies in zip(variables, novelty.has_range, strict=True) if not varies]
        why = f"not scored, {' and '.join(still)} never varies among {populations}: "
    notes = []
    for index in range(len(site)):
        told = [k for k in range(len(variables)) if novelty.side[index, k] != 0 or not novelty.is_scored]
        if np.isnan(site[index]).any() or not count:
            notes.append("")
            continue
        said = [
            _in_range(
                variables[k], site[index, k], novelty.low[k], novelty.high[k], int(novelty.side[index, k])
            )
            for k in told
        ]
        notes.append(why + "; ".join(said) if said else f"within the range of {populations}")
    return notes


def _in_range(variable: str, value: float, low: float, high: float, side: int) -> str:
    unit, meaning = CLIMATE_VARIABLES[variable]
    if unit == "mm":
        value, low, high = (float(np.expm1(one)) for one in (value, low, high))
    decimals = decimals_of_variable(variable)
    where = "within" if side == 0 else "outside"
    return (
        f"{meaning} {value:.{decimals}f} {_unit(unit)} is {where} the known {low:.{decimals}f} to "
        f"{high:.{decimals}f}"
    )


def _unit(unit: str) -> str:
    return {"degc": "degC", "pct": "%", "degc x 100": "degC x 100"}.get(unit, unit)


def matrix_words(matrix: FloatArray) -> str:
    """Return rows of numbers in one line, rows apart by a semicolon.

    >>> matrix_words(np.array([[1.0, 0.5], [0.5, 2.0]]))
    '1 0.5; 0.5 2'
    """
    return "; ".join(" ".join(f"{value:.6g}" for value in row) for row in matrix)
