"""One raster described: its grid, bands, unit and missing value. Its cells are read in zones."""

import warnings
from pathlib import Path

import rasterio
from pyproj import CRS
from rasterio.enums import MaskFlags
from rasterio.errors import CRSError, NotGeoreferencedWarning, RasterioError, RasterioIOError

from geo_scout.layers.noticed import LayerRefused, Noticed, first_words
from geo_scout.layers.raster_bands import band_names, scales_and_offsets
from geo_scout.layers.raster_values import check_values
from geo_scout.layers.reference_systems import choose_crs, crs_of_file
from geo_scout.model.layers import RasterLayer
from geo_scout.model.season import LayerTable, Season

_SIDE_FILE_TAGS = ("<SRS", "<GeoTransform", "<NoDataValue", "<Scale", "<Offset", "<UnitType", "<Description")


def describe_raster(
    season: Season, table: LayerTable, noticed: Noticed
) -> tuple[RasterLayer | None, list[Path]]:
    """Return the raster's description, None where it cannot be used, and the files it is made of."""
    path = season.file_of(table.path)
    files = [path] if path.is_file() else []
    try:
        if not files:
            what = f"there is no file '{table.path}' in the season file's folder."
            raise LayerRefused(
                what, code="file-missing", fix="Check the spelling of `path`, or put the file there."
            )
        with warnings.catch_warnings():
            # A raster without a place is refused below, in words.
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with rasterio.open(path) as dataset:
                files = [Path(file) for file in dataset.files]
                return _describe(dataset, path, season, table, noticed), files
    except LayerRefused as refused:
        noticed.refuse(refused)
    except (RasterioError, RasterioIOError, CRSError) as error:
        said = first_words(error, path, table.path)
        what = f"'{table.path}' cannot be read as a raster: {said}"
        noticed.say(
            "file-unreadable", "stop", what, "Open it in your GIS and save it anew, for instance as GeoTIFF."
        )
    return None, files


def _describe(
    dataset: rasterio.DatasetReader, path: Path, season: Season, table: LayerTable, noticed: Noticed
) -> RasterLayer | None:
    crs = _crs(dataset, table, noticed)
    _check_grid(dataset, table)
    _say_side_file(path, table, noticed)
    bands = band_names(noticed.name, dataset, table)
    scale, offset = scales_and_offsets(noticed, dataset, table, season)
    nodata = _nodata(dataset)
    if crs is None:
        return None
    layer = RasterLayer(
        name=noticed.name,
        path=path,
        bands=bands,
        crs=crs,
        transform=dataset.transform,
        width=dataset.width,
        height=dataset.height,
        nodata=nodata,
        scale=scale,
        offset=offset,
    )
    check_values(layer, dataset, noticed)
    return layer


def _crs(dataset: rasterio.DatasetReader, table: LayerTable, noticed: Noticed) -> CRS | None:
    of_file = None
    if dataset.crs is not None:
        code = dataset.crs.to_epsg()
        of_file = crs_of_file(f"EPSG:{code}" if code else dataset.crs.to_wkt())
    return choose_crs(of_file, table, noticed, points_in_degrees=False)


def _check_grid(dataset: rasterio.DatasetReader, table: LayerTable) -> None:
    if not dataset.count:
        what = f"'{table.path}' holds no band."
        raise LayerRefused(what, code="raster-empty", fix="Give one of its parts, saved as GeoTIFF.")
    grid = dataset.transform
    if grid.is_identity:
        what = f"'{table.path}' does not say where its cells lie."
        raise LayerRefused(
            what, code="raster-nowhere", fix="Give it a position in your GIS and save it as GeoTIFF."
        )
    if grid.b or grid.d or grid.a <= 0.0 or grid.e >= 0.0:
        what = f"the rows of '{table.path}' do not run from north to south and west to east."
        raise LayerRefused(
            what, code="raster-turned", fix="Warp it to a north-up grid in your GIS and save it as GeoTIFF."
        )
    flags = {flag for band in dataset.mask_flag_enums for flag in band}
    if flags & {MaskFlags.per_dataset, MaskFlags.alpha}:
        what = f"'{table.path}' marks its missing cells by a mask, and only a nodata value is read."
        raise LayerRefused(what, code="raster-mask", fix="Save it with a nodata value instead of a mask.")
    if any("complex" in kind for kind in dataset.dtypes):
        what = f"'{table.path}' holds complex numbers."
        raise LayerRefused(what, code="raster-complex", fix="Give a raster of plain numbers.")


def _nodata(dataset: rasterio.DatasetReader) -> float | None:
    values = {repr(value) for value in dataset.nodatavals}
    if len(values) > 1:
        what = f"its bands have different nodata values: {', '.join(sorted(values))}."
        raise LayerRefused(what, code="nodata-differs", fix="Save it with one nodata value for all bands.")
    return None if dataset.nodata is None else float(dataset.nodata)


def _say_side_file(path: Path, table: LayerTable, noticed: Noticed) -> None:
    beside = path.with_name(f"{path.name}.aux.xml")
    if not beside.is_file():
        return
    text = beside.read_text(encoding="utf-8", errors="replace")
    if any(tag in text for tag in _SIDE_FILE_TAGS):
        what = f"'{table.path}.aux.xml' says more about the raster, but side files are not read."
        noticed.say(
            "side-file-ignored",
            "caution",
            what,
            "Save the raster as one GeoTIFF, or state crs, scale and offset.",
        )
