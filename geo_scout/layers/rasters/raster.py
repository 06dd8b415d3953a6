"""One raster described: its grid, bands, unit and missing value. Its cells are read in zones."""

from pathlib import Path

import numpy as np

from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.places.reference_systems import choose_crs
from geo_scout.layers.rasters.band_files import files_of_raster
from geo_scout.layers.rasters.band_units import check_stated_units
from geo_scout.layers.rasters.bands import band_names, scales_and_offsets
from geo_scout.layers.rasters.parts import RasterPart, check_one_grid, check_place, open_part
from geo_scout.layers.rasters.plausible import check_values
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.layers import RasterLayer
from geo_scout.model.season import Season

_SIDE_FILE_TAGS = ("<SRS", "<GeoTransform", "<NoDataValue", "<Scale", "<Offset", "<UnitType", "<Description")


def describe_raster(
    season: Season, table: LayerTable, noticed: Noticed
) -> tuple[RasterLayer | None, list[Path]]:
    """Return the raster's description, None where it cannot be used, and the files it is made of."""
    read: list[Path] = []
    try:
        files = files_of_raster(season, table)
        read = [file.path for file in files]
        parts = tuple(open_part(file) for file in files)
        read = list(dict.fromkeys(path for part in parts for path in part.made_of))
        return _describe(parts, season, table, noticed), read
    except LayerRefused as refused:
        noticed.refuse(refused)
    return None, read


def _describe(
    parts: tuple[RasterPart, ...], season: Season, table: LayerTable, noticed: Noticed
) -> RasterLayer | None:
    first = parts[0]
    crs = choose_crs(first.crs, table, noticed, points_in_degrees=False)
    if crs is not None:
        check_place(first, crs)
    check_one_grid(parts)
    _say_side_files(parts, noticed)
    check_stated_units(noticed, table)
    bands = band_names(noticed.name, parts, table)
    scale, offset = scales_and_offsets(noticed, parts, bands, table, season)
    if crs is None:
        return None
    layer = RasterLayer(
        name=noticed.name,
        files=tuple(part.file.path for part in parts),
        bands=bands,
        crs=crs,
        transform=first.north_up,
        width=first.width,
        height=first.height,
        nodata=tuple(value for part in parts for value in part.nodata),
        scale=scale,
        offset=offset,
        places=tuple((file, band + 1) for file, part in enumerate(parts) for band in range(part.count)),
        is_south_up=first.is_south_up,
        has_mask=any(part.has_mask for part in parts),
    )
    check_values(layer, np.concatenate([part.looks.astype(np.float64) for part in parts]), noticed)
    return layer


def _say_side_files(parts: tuple[RasterPart, ...], noticed: Noticed) -> None:
    telling = [f"{part.file.written}.aux.xml" for part in parts if _read_tells_more(part.file.path)]
    if telling:
        others = f" (and {len(telling) - 1} others)" if len(telling) > 1 else ""
        what = f"'{telling[0]}'{others} says more about the raster, but side files are not read."
        fix = "Save the raster as one GeoTIFF, or state crs, scale and offset."
        noticed.say("side-file-ignored", "caution", what, fix)


def _read_tells_more(path: Path) -> bool:
    beside = path.with_name(f"{path.name}.aux.xml")
    if not beside.is_file():
        return False
    text = beside.read_text(encoding="utf-8", errors="replace")
    return any(tag in text for tag in _SIDE_FILE_TAGS)
