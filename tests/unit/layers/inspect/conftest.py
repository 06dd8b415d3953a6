"""Found tables and rasters made by hand."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from geo_scout.layers.inspect.columns_found import describe_column
from geo_scout.model.draft import FoundRaster, FoundVector


@pytest.fixture
def table() -> Callable[..., FoundVector]:
    """Return a function that makes a found table from columns of texts."""

    def make(name: str, columns: dict[str, list[str]], **more: object) -> FoundVector:
        given = {
            "layer": "",
            "shapes": "points",
            "rows": len(next(iter(columns.values()), [])),
            "crs": "EPSG:4326",
            "bounds": (-110.0, 47.0, -109.0, 48.0),
        } | more
        described = tuple(
            describe_column(one, np.array(cells, dtype=object)) for one, cells in columns.items()
        )
        return FoundVector(path=Path("maps") / name, columns=described, **given)  # type: ignore[arg-type]

    return make


@pytest.fixture
def raster() -> Callable[..., FoundRaster]:
    """Return a function that makes a found raster."""

    def make(name: str, least: float = 0.0, most: float = 20.0, **more: object) -> FoundRaster:
        bands = int(str(more.get("bands", 1)))
        given = {
            "bands": bands,
            "descriptions": ("",) * bands,
            "units": ("",) * bands,
            "crs": "EPSG:4326",
            "is_crs_in_feet": False,
            "mean": (least + most) / 2.0,
        } | more
        return FoundRaster(path=Path("grids") / name, least=least, most=most, **given)  # type: ignore[arg-type]

    return make
