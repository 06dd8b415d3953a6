"""Monthly minimum above the monthly maximum: swapped files, or different units."""

import numpy as np
from rasterio.errors import RasterioIOError

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.raster_looks import places_over, read_at
from geo_scout.layers.rasters.plausible import UNTRUE_SHARE
from geo_scout.model.finding import Grade


def check_tmin_below_tmax(read: LayersRead) -> None:
    """Stop where the minimum is above the maximum in more than a hundredth of what was looked at."""
    tmin, tmax = read.rasters.get("tmin"), read.rasters.get("tmax")
    if tmin is None or tmax is None:
        return
    easting, northing = places_over(tmin, read.usable("infestations"))
    to_other = transformer_between(tmin.crs, tmax.crs)
    try:
        low = read_at(tmin, (easting, northing))
        high = read_at(tmax, to_other.transform(easting, northing))
    except RasterioIOError:
        return  # a damaged block is told where the cells are needed
    known = np.isfinite(low) & np.isfinite(high)
    above = known & (low > high)
    if not above.any():
        return
    share = above.sum() / known.sum()
    month = int(np.argmax(above.sum(axis=0))) + 1
    what = (
        f"tmin is above tmax in {100 * share:.1f} percent of {known.sum():,} values looked at, most often in "
        f"month {month}: the two look swapped, or in different units."
    )
    grade: Grade = "stop" if share > UNTRUE_SHARE else "caution"
    fix = "Exchange the two files, or state the unit of each: units = {temperature = ...}"
    read.about("tmax").say("tmin-above-tmax", grade, what, fix)
