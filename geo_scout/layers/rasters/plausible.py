"""Whether a raster's values can be what they are said to be, from a few looks at its cells."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.rasters.band_units import kind_of_band
from geo_scout.layers.rasters.limits import limits_of, unit_of
from geo_scout.layers.wording import counted
from geo_scout.model.layers import RasterLayer

# A hundredth may be a few bad cells; more makes the layer untrue. Our choice.
UNTRUE_SHARE = 0.01
_KELVIN_MEANS = (180.0, 340.0)
_HOTTEST_FAHRENHEIT = 140.0
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
    known = [value[np.isfinite(value)] for value in values]
    if not any(cells.size for cells in known):
        what = "no cell with a value was found where it was looked at."
        noticed.say("raster-blank", "caution", what, "Look at the raster on a map; check its nodata value.")
        return
    for name, cells in zip(layer.bands, known, strict=True):
        if cells.size and _say_impossible(name, cells, noticed, _hint(layer.bands, known, name)):
            return


def _say_undeclared(stored: Cells, noticed: Noticed) -> bool:
    least = float(np.nanmin(stored)) if not np.isnan(stored).all() else np.nan
    if least not in _USUAL_FILLS and not least < -_HUGE:
        return False
    what = (
        f"the smallest stored value is {least:g}, which usually means missing; the file declares no nodata."
    )
    noticed.say("nodata-undeclared", "stop", what, f"Declare {least:g} as the nodata value in your GIS.")
    return True


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
        return "", "State the unit or the scale that makes it true, or declare the nodata value in your GIS."
    means = [
        float(cells.mean())
        for band, cells in zip(bands, known, strict=True)
        if cells.size and kind_of_band(band) == "temperature" and band not in _DIFFERENCES
    ]
    if means and _KELVIN_MEANS[0] <= min(means) and max(means) <= _KELVIN_MEANS[1]:
        return " It looks like Kelvin.", 'If so, add: units = {temperature = "kelvin"}'
    if means and limits_of("tmax_07_degc")[1] < max(means) <= _HOTTEST_FAHRENHEIT:
        return " It looks like Fahrenheit.", 'If so, add: units = {temperature = "degf"}'
    fix = 'If so, add: units = {temperature = "tenths of degc"}, or the scale that is true.'
    return " It looks like tenths of a degree.", fix
