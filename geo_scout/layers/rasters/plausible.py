"""Whether a raster's values can be what they are said to be, from a few looks at its cells."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.rasters.band_units import kind_of_band
from geo_scout.model.land_limits import limits_of, unit_of
from geo_scout.model.layers import RasterLayer
from geo_scout.model.listed import counted

# A hundredth may be a few bad cells; more makes the layer untrue. Our choice.
UNTRUE_SHARE = 0.01
_KELVIN_MEANS = (180.0, 340.0)
# Means of months: -60 to 48 degC, so that tenths of a degree in a cold winter are no Fahrenheit.
_FAHRENHEIT_MEANS = (-76.0, 118.0)
# Our choice: hardly a place where agents are released has less; 60 inches of rain are 60 when read as mm.
_DESERT_YEAR_MM = 100.0
_ANY_FIX = "State the unit or the scale that makes it true, or declare the nodata value in your GIS."
# Numbers that often stand for missing where the file does not say so.
_USUAL_FILLS = (-9999.0, -99999.0, -32768.0, -999.0)
_HUGE = 1e30
# Means at 0, in tenths or in Fahrenheit look alike; these hold temperatures, not differences.
_DIFFERENCES = ("bio02", "bio04", "bio07")

Cells = NDArray[np.float64]


def check_values(layer: RasterLayer, stored: Cells, noticed: Noticed) -> None:
    """Say where the values cannot be in the unit they are said to be in; stop where most cannot.

    Parameters
    ----------
    layer
        The raster's description.
    stored
        (bands, cells) some of its stored values; nan where masked.
    noticed
        Where findings go.
    """
    undeclared = [band for band, nodata in enumerate(layer.nodata) if nodata is None]
    if undeclared and _say_undeclared(stored[undeclared], noticed):
        return
    values = [layer.values(stored[band], band) for band in range(len(layer.bands))]
    if _say_infinite(layer, stored, values, noticed):
        return
    known = [value[np.isfinite(value)] for value in values]
    if not any(cells.size for cells in known):
        what = "no cell with a value was found where it was looked at."
        noticed.say("raster-blank", "caution", what, "Look at the raster on a map; check its nodata value.")
        return
    if not any(cells.any() for cells in known):
        what = "every cell that was looked at is 0."
        fix = "Look at the raster on a map: it may be empty, or 0 may stand for missing."
        noticed.say("raster-zero", "caution", what, fix)
    _say_little_rain(layer, values, noticed)
    for name, cells in zip(layer.bands, known, strict=True):
        if cells.size and _say_impossible(name, cells, noticed, _hint(layer.bands, known, name)):
            return


def _say_undeclared(stored: Cells, noticed: Noticed) -> bool:
    finite = stored[np.isfinite(stored)]
    least = float(finite.min()) if finite.size else np.nan
    if least not in _USUAL_FILLS and not least < -_HUGE:
        return False
    what = (
        f"the smallest stored value is {least:g}, which usually means missing; the file declares no nodata."
    )
    noticed.say("nodata-undeclared", "stop", what, f"Declare {least:g} as the nodata value in your GIS.")
    return True


def _say_infinite(layer: RasterLayer, stored: Cells, values: Sequence[Cells], noticed: Noticed) -> bool:
    """Say how many cells hold a number that is infinite, or is with its scale; return whether it stops."""
    nodata = np.array([[np.nan if one is None else one] for one in layer.nodata])
    filled = ~np.isnan(stored) & (stored != nodata)
    number = int((filled & np.isnan(np.stack(values))).sum())
    if not number:
        return False
    they_are, were = ("is", "was") if number == 1 else ("are", "were")
    values_of = f"{counted(number, 'value')} of {int(filled.sum()):,}"
    what = f"{values_of} looked at {they_are} infinite, and {were} read as missing."
    fix = "Declare the value that stands for missing cells as nodata in your GIS, or state the true scale."
    is_untrue = number / filled.sum() > UNTRUE_SHARE
    noticed.say("values-infinite", "stop" if is_untrue else "caution", what, fix)
    return bool(is_untrue)


def _say_little_rain(layer: RasterLayer, values: Sequence[Cells], noticed: Noticed) -> None:
    """Caution where a year's rain is that of a desert, as inches and centimetres read as millimetres are."""
    if noticed.is_stopped:
        return  # by another unit that the file states
    if layer.name == "precipitation":
        year_mm = np.sum(values, axis=0)
    elif "bio12" in layer.bands:
        year_mm = values[layer.bands.index("bio12")]
    else:
        return
    known = year_mm[np.isfinite(year_mm)]
    middle_mm = float(np.median(known)) if known.size else np.inf
    if not 0.0 < middle_mm < _DESERT_YEAR_MM:
        return
    what = (
        f"a year's precipitation is {middle_mm:.1f} mm in the middle of the cells looked at; only deserts "
        f"have less than {_DESERT_YEAR_MM:g} mm. It looks like inches or centimetres."
    )
    fix = 'If so, add: units = {precipitation = "inch"} or "cm". Nothing, if it is a desert.'
    noticed.say("rain-doubtful", "caution", what, fix)


def _say_impossible(name: str, cells: Cells, noticed: Noticed, hint: tuple[str, str]) -> bool:
    least, most = limits_of(name)
    beyond = int(np.count_nonzero((cells < least) | (cells > most)))
    if not beyond:
        return False
    unit, share = unit_of(name), beyond / cells.size
    looks, fix = hint
    what = (
        f"{name} runs from {cells.min():g} to {cells.max():g} {unit} where it was looked at; no land has "
        f"less than {least:g} or more than {most:g} {unit}, and {counted(beyond, 'cell')} of {cells.size:,} "
        f"{'is' if beyond == 1 else 'are'} beyond.{looks}"
    )
    if share > UNTRUE_SHARE:
        noticed.say("unit-impossible", "stop", what, fix)
    else:
        noticed.say("unit-doubtful", "caution", what, fix)
    return True


def _hint(bands: Sequence[str], known: Sequence[Cells], name: str) -> tuple[str, str]:
    """Return what the numbers look like, with a space before it, and the line that would mend it."""
    kind = kind_of_band(name)
    if name == "elevation_m":
        return (
            "",
            'If it is in feet, add: vertical_unit = "ft"; else state the scale, or declare the nodata value.',
        )
    if kind != "temperature":
        return "", _ANY_FIX
    means = [
        float(cells.mean())
        for band, cells in zip(bands, known, strict=True)
        if cells.size and kind_of_band(band) == "temperature" and band not in _DIFFERENCES
    ]
    if means and _KELVIN_MEANS[0] <= min(means) and max(means) <= _KELVIN_MEANS[1]:
        return " It looks like Kelvin.", 'If so, add: units = {temperature = "kelvin"}'
    least, most = limits_of("tmax_07_degc")
    if not means or (least <= min(means) and max(means) <= most):
        return "", _ANY_FIX
    tenths = 'units = {temperature = "tenths of degc"}'
    if _FAHRENHEIT_MEANS[0] <= min(means) and max(means) <= _FAHRENHEIT_MEANS[1]:
        fix = f'If so, add: units = {{temperature = "degf"}}; if it is tenths of a degree: {tenths}'
        return " It looks like Fahrenheit.", fix
    return " It looks like tenths of a degree.", f"If so, add: {tenths}, or the scale that is true."
