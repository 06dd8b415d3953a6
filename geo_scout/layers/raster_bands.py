"""What each band of a raster holds, and how stored numbers become quantities."""

import re

import rasterio

from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.wording import counted, listed
from geo_scout.model.columns import RASTER_LAYERS
from geo_scout.model.quantities import CLIMATE_VARIABLES
from geo_scout.model.season import LayerTable, Season

# The international foot, exactly.
M_PER_FT = 0.3048
_BIOCLIM = re.compile(r"bio[ _-]?0*([0-9]{1,2})", re.IGNORECASE)
_FEET = frozenset({"ft", "feet", "foot", "us-ft", "us survey foot", "us_survey_foot"})


def band_names(name: str, dataset: rasterio.DatasetReader, table: LayerTable) -> tuple[str, ...]:
    """Return the quantity of each band.

    Raises
    ------
    LayerRefused
        The number of bands does not fit, or the bands of ``bioclim`` are not named.
    """
    if name == "bioclim":
        return _bioclim_names(dataset, table)
    kind = RASTER_LAYERS[name]
    if dataset.count != kind.bands:
        expected = "1 band" if kind.bands == 1 else f"{kind.bands} bands, January to December"
        what = f"'{table.path}' has {counted(dataset.count, 'band')}; {name} needs {expected}."
        raise LayerRefused(what, code="band-count", fix="Give one file with these bands.")
    if name == "elevation":
        return ("elevation_m",)
    return tuple(f"{name}_{month:02d}_{kind.unit}" for month in range(1, 13))


def scales_and_offsets(
    noticed: Noticed, dataset: rasterio.DatasetReader, table: LayerTable, season: Season
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return scale and offset of each band: the season's where it states them, else the file's.

    For elevation in feet both are brought to metres.
    """
    scale = dataset.scales if table.scale is None else (table.scale,) * dataset.count
    offset = dataset.offsets if table.offset is None else (table.offset,) * dataset.count
    if table.scale == 0.0:
        noticed.say(
            "scale-zero",
            "stop",
            "scale = 0 turns every value into the same.",
            "Write the true scale, or none.",
        )
    factor = 1.0
    if noticed.name == "elevation":
        factor = M_PER_FT if table.vertical_unit == "ft" else 1.0
        _say_feet(noticed, dataset, season)
    return tuple(float(s) * factor for s in scale), tuple(float(o) * factor for o in offset)


def _bioclim_names(dataset: rasterio.DatasetReader, table: LayerTable) -> tuple[str, ...]:
    written = table.bands or tuple(text or "" for text in dataset.descriptions)
    names = tuple(_variable(text) for text in written)
    if len(names) != dataset.count:
        what = f"`bands` names {counted(len(names), 'band')}; '{table.path}' has {dataset.count}."
    elif not all(names):
        unknown = [f"'{text}'" for text, name in zip(written, names, strict=True) if not name]
        what = f"these bands of '{table.path}' are not bio01 to bio19: {listed(unknown)}."
    elif len(set(names)) != len(names):
        what = f"a variable has more than one band in '{table.path}': {listed(names, 19)}."
    else:
        return names
    fix = 'Name the bands in order, for instance: bands = ["bio01", "bio05", "bio06", "bio12"]'
    raise LayerRefused(what, code="bands-unnamed", fix=fix)


def _variable(text: str) -> str:
    match = _BIOCLIM.search(text)
    name = f"bio{int(match[1]):02d}" if match else ""
    return name if name in CLIMATE_VARIABLES else ""


def _say_feet(noticed: Noticed, dataset: rasterio.DatasetReader, season: Season) -> None:
    unit = (dataset.units[0] or "").strip().casefold()
    if unit in _FEET and "layers.elevation.vertical_unit" not in season.given:
        what = f"the file says its elevation is in '{unit}'; it was read as m, the default."
        noticed.say("vertical-unit", "stop", what, 'Add the one that is true: vertical_unit = "ft"')
