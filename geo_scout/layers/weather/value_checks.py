"""Temperatures and precipitation that cannot be: a wrong unit, or a few bad cells."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.land_limits import limits_of, unit_of
from geo_scout.model.listed import counted
from geo_scout.model.quantities import CLIMATE_VARIABLES

# A hundredth may be a few bad cells; more makes the table untrue. Our choice, as for rasters.
_UNTRUE_SHARE = 0.01
_LIKE_KELVIN = (180.0, 340.0)
# The hottest night and day on record are 42.6 and 56.7 degC (from memory), 109 and 134 degF.
_MOST_DEGF = {"tmin_degc": 110.0, "tmax_degc": 135.0}
_MEASURED = ("tmin_degc", "tmax_degc", "precipitation_mm")
_NEEDED = ("tmin_degc", "tmax_degc")
# Whose limits a measured column has; a climate variable has its own.
_LIMITED_AS = {"tmin_degc": "tmin_01_degc", "tmax_degc": "tmax_01_degc", "precipitation_mm": "bio13"}


def check_values(rows: TableRows) -> None:
    """Say which values cannot be: a wrong unit makes the table untrue, a few bad cells become missing.

    Precipitation that cannot be is taken as missing and never stops a table that may do without.
    """
    for name in rows.frame.columns.intersection([*_MEASURED, *CLIMATE_VARIABLES]):
        values = rows.frame[name].to_numpy(dtype=np.float64, copy=True)
        least, most = limits_of(_LIMITED_AS.get(name, name))
        known = values[np.isfinite(values)]
        beyond = (values < least) | (values > most)
        if not beyond.any():
            continue
        unit = unit_of(_LIMITED_AS.get(name, name))
        what = (
            f"{name.partition('_')[0]} runs from {known.min():g} to {known.max():g} {unit}; nothing on land "
            f"is below {least:g} or above {most:g} {unit}, and {counted(int(beyond.sum()), 'row')} "
            f"{'is' if beyond.sum() == 1 else 'are'} beyond."
        )
        looks, fix = _hint(name, known)
        if beyond.sum() > _UNTRUE_SHARE * len(known) and _is_needed(rows, name):
            rows.say("unit-impossible", "stop", what + looks, fix)
            continue
        values[beyond] = np.nan
        rows.frame[name] = values
        rows.say("unit-doubtful", "caution", f"{what} Taken as missing.", "Mend the cells in the table.")


def _is_needed(rows: TableRows, name: str) -> bool:
    return name in _NEEDED or rows.name == "yearly_climate"


def _hint(name: str, known: NDArray[np.float64]) -> tuple[str, str]:
    if unit_of(_LIMITED_AS.get(name, name)) not in ("degC", "mm"):
        return "", "Give it as the variable is defined, or leave the column out."
    if unit_of(_LIMITED_AS.get(name, name)) == "mm":
        return "", 'State its unit, for example: units = {precipitation = "inch"}; missing is an empty cell.'
    is_whole = bool((known == np.round(known)).all())
    if _LIKE_KELVIN[0] <= known.mean() <= _LIKE_KELVIN[1] and known.std() < 40:
        kelvin = 'units = {temperature = "kelvin"}'
        if is_whole:
            tenths = 'units = {temperature = "tenths of degc"}'
            fix = f"Add the one that is true: {kelvin} or {tenths}"
            return " It looks like Kelvin or tenths of a degree.", fix
        return " It looks like Kelvin.", f"If so, add: {kelvin}"
    if known.min() > -90.0 and known.max() <= _MOST_DEGF.get(name, 135.0):
        return " It looks like Fahrenheit.", 'If so, add: units = {temperature = "degf"}'
    return " It looks like tenths of a degree.", 'If so, add: units = {temperature = "tenths of degc"}'
