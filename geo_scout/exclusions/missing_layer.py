"""Sites without a value in a layer the season marks as required."""

from collections.abc import Iterator

import numpy as np

from geo_scout.exclusions.book import SiteBook
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.exclusion import Exclusion


def exclude_missing_layer(book: SiteBook) -> Iterator[Exclusion]:
    """Yield sites no part of which a required raster or polygon layer covers."""
    patches = book.sites.patches
    for name, layer in book.season.settings.layers.given().items():
        if not layer.required:
            continue
        for site_id in np.asarray(patches["site_id"])[_is_missing(book, name)]:
            yield book.exclude(
                str(site_id),
                "required-layer-missing",
                f"the layer {name} has no value here and is marked required.",
                f"A value in {name}, or required = false in [layers.{name}], would bring it back.",
            )


def _is_missing(book: SiteBook, name: str) -> "np.ndarray[tuple[int], np.dtype[np.bool_]]":
    patches = book.sites.patches
    if name in book.raster_share:
        return np.asarray(book.raster_share[name] <= 0)
    if VECTOR_LAYERS[name].shapes != "polygons":
        return np.zeros(len(patches), dtype=np.bool_)
    required = book.sites.required
    return np.asarray(~patches["site_id"].isin(required.loc[required["layer"] == name, "site_id"]))
