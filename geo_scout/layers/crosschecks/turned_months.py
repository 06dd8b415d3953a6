"""A warmest month in the cold half of the year: months that begin elsewhere than in January."""

import numpy as np
from rasterio.errors import RasterioIOError

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.raster_looks import places_over, read_at

# Between the tropics the warmest month can be any: the sun stands overhead twice a year.
_TROPIC_DEG = 23.4
_WARM_NORTH, _WARM_SOUTH = (5, 6, 7, 8, 9), (11, 12, 1, 2, 3)
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def check_warmest_month(read: LayersRead) -> None:
    """Ask whether the months are in order where the warmest is not one of that half of the world's summer.

    Of the places looked at, each has its warmest month by tmax; the one of most places is judged. Nothing is
    said between the tropics.
    """
    tmax = read.rasters.get("tmax")
    if tmax is None:
        return
    places = places_over(tmax, read.usable("infestations"))
    try:
        values = read_at(tmax, places)
    except RasterioIOError:
        return  # a damaged block is told where the cells are needed
    _, latitude_deg = transformer_between(tmax.crs, 4326).transform(*places)
    beyond = np.isfinite(values).all(axis=1) & (np.abs(latitude_deg) > _TROPIC_DEG)
    if not beyond.any():
        return
    is_north = float(np.median(np.asarray(latitude_deg)[beyond])) > 0
    warm = _WARM_NORTH if is_north else _WARM_SOUTH
    month = int(np.bincount(values[beyond].argmax(axis=1), minlength=12).argmax()) + 1
    if month in warm:
        return
    half, summer = ("north", "May to September") if is_north else ("south", "November to March")
    what = (
        f"by its bands the warmest month is {_MONTHS[month - 1]}; this far {half} it lies in {summer} almost "
        "everywhere. Do the bands begin with January?"
    )
    fix = "Give the months of every climate raster in the order January to December. Nothing, if it is true."
    read.about("tmax").say("months-turned", "caution", what, fix)
