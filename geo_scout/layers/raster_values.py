"""Whether a raster's values can be what they are said to be, from a few looks at its cells."""

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.windows import Window

from geo_scout.layers.noticed import Noticed
from geo_scout.model.layers import RasterLayer

_LOOKS, _LOOK_CELLS = 5, 32
# Means beyond these are on no land: our choice, wider than any station's record.
_TEMPERATURE_MEAN_DEGC = (-90.0, 60.0)
_KELVIN_MEAN = (180.0, 340.0)
_ELEVATION_M = (-500.0, 9000.0)
_MONTH_MM = (0.0, 5000.0)
# Numbers that often stand for missing where the file does not say so.
_USUAL_FILLS = (-9999.0, -99999.0, -32768.0, -999.0)
_HUGE = 1e30


def check_values(layer: RasterLayer, dataset: rasterio.DatasetReader, noticed: Noticed) -> None:
    """Caution where the values cannot be in the unit they are said to be in."""
    stored = _few_cells(dataset)
    if layer.nodata is None and _say_undeclared(stored, noticed):
        return
    values = [layer.values(stored[band], band) for band in range(len(layer.bands))]
    known = [value[np.isfinite(value)] for value in values]
    if not any(cells.size for cells in known):
        what = "no cell with a value was found where it was looked at."
        noticed.say("raster-blank", "caution", what, "Look at the raster on a map; check its nodata value.")
        return
    for name, cells in zip(layer.bands, known, strict=True):
        if cells.size and _say_impossible(name, cells, noticed):
            return


def _few_cells(dataset: rasterio.DatasetReader) -> NDArray[np.generic]:
    """Read small windows all over the raster: cheap whatever its size."""
    width, height = min(_LOOK_CELLS, dataset.width), min(_LOOK_CELLS, dataset.height)
    columns = np.unique(np.linspace(0, dataset.width - width, _LOOKS).astype(int))
    rows = np.unique(np.linspace(0, dataset.height - height, _LOOKS).astype(int))
    looks = [
        dataset.read(window=Window(int(column), int(row), width, height)).reshape(dataset.count, -1)
        for row in rows
        for column in columns
    ]
    return np.concatenate(looks, axis=1)


def _say_undeclared(stored: NDArray[np.generic], noticed: Noticed) -> bool:
    least = float(np.nanmin(stored)) if not np.isnan(stored.astype(np.float64)).all() else np.nan
    if least not in _USUAL_FILLS and not least < -_HUGE:
        return False
    what = (
        f"the smallest stored value is {least:g}, which usually means missing; the file declares no nodata."
    )
    noticed.say("nodata-undeclared", "stop", what, f"Declare {least:g} as the nodata value in your GIS.")
    return True


def _say_impossible(name: str, cells: NDArray[np.float64], noticed: Noticed) -> bool:
    mean, least, most = float(cells.mean()), float(cells.min()), float(cells.max())
    what = fix = ""
    if name.endswith("_degc") and not _TEMPERATURE_MEAN_DEGC[0] <= mean <= _TEMPERATURE_MEAN_DEGC[1]:
        what = f"{name} is {mean:.1f} degC on average, which no place has"
        if _KELVIN_MEAN[0] <= mean <= _KELVIN_MEAN[1]:
            what, fix = (
                f"{what}; it looks like Kelvin.",
                "If so, add: offset = -273.15; if it is tenths of a degree: scale = 0.1",
            )
        else:
            what, fix = f"{what}; it looks like tenths of a degree.", "If so, add: scale = 0.1"
    elif name.endswith("_mm") and not (_MONTH_MM[0] <= least and most <= _MONTH_MM[1]):
        what = f"{name} runs from {least:g} to {most:g} mm, which no month has."
        fix = "State the scale that makes it mm, or the nodata value."
    elif name == "elevation_m" and not (_ELEVATION_M[0] <= least and most <= _ELEVATION_M[1]):
        what = f"elevation runs from {least:g} to {most:g} m, which no land has."
        fix = 'State vertical_unit = "ft" or a scale, or declare the nodata value.'
    if what:
        noticed.say("unit-doubtful", "caution", what, fix)
    return bool(what)
