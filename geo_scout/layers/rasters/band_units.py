"""Units of climate rasters: what the season states, and the way to degrees Celsius and millimetres."""

from collections.abc import Mapping, Sequence

from geo_scout.layers.noticed import Noticed
from geo_scout.layers.rasters.parts import RasterPart
from geo_scout.model.columns import CLIMATE_UNITS, CLIMATE_UNITS_OF
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.quantities import CLIMATE_VARIABLES

# Exact by definition: kelvin to Celsius, the Fahrenheit scale, the international inch.
_TO_DEGC: Mapping[str, tuple[float, float]] = {
    "degc": (1.0, 0.0),
    "degf": (5.0 / 9.0, -160.0 / 9.0),
    "kelvin": (1.0, -273.15),
    "tenths of degc": (0.1, 0.0),
}
_TO_MM: Mapping[str, tuple[float, float]] = {"mm": (1.0, 0.0), "cm": (10.0, 0.0), "inch": (25.4, 0.0)}
_WAYS: Mapping[str, Mapping[str, tuple[float, float]]] = {"temperature": _TO_DEGC, "precipitation": _TO_MM}
# What a file that states no scale or offset is read with.
_UNSAID: Mapping[str, float] = {"scale": 1.0, "offset": 0.0}
# Ranges and the standard deviation: a difference has no zero point, so only the factor counts.
_DIFFERENCES = frozenset({"bio02", "bio04", "bio07"})
_SPELT: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "temperature": {
        "degc": ("c", "°c", "degc", "deg c", "celsius", "degree_celsius", "degrees celsius", "degrees c"),
        "degf": ("f", "°f", "degf", "deg f", "fahrenheit", "degrees fahrenheit", "degrees f"),
        "kelvin": ("k", "kelvin", "degk"),
    },
    "precipitation": {
        "mm": ("mm", "millimeter", "millimeters", "millimetre", "millimetres", "kg m-2", "kg/m^2"),
        "cm": ("cm", "centimeter", "centimeters", "centimetre", "centimetres"),
        "inch": ("in", "inch", "inches"),
    },
}


def kind_of_band(band: str) -> str:
    """Return "temperature" or "precipitation"; empty for a band that has no unit of either.

    Examples
    --------
    >>> kind_of_band("tmin_01_degc"), kind_of_band("bio12"), kind_of_band("bio15")
    ('temperature', 'precipitation', '')
    """
    unit, _ = CLIMATE_VARIABLES.get(band, (band.rpartition("_")[2], ""))
    return {"degc": "temperature", "degc x 100": "temperature", "mm": "precipitation"}.get(unit, "")


def way_to_ours(kind: str, unit: str) -> tuple[float, float]:
    """Return factor and zero that lead from a unit to degrees Celsius or millimetres.

    Examples
    --------
    >>> factor, zero = way_to_ours("temperature", "degf")
    >>> round(50 * factor + zero, 6)
    10.0
    """
    return _WAYS[kind][unit]


def to_our_units(
    bands: Sequence[str], table: LayerTable, scale: Sequence[float], offset: Sequence[float]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return scale and offset per band that lead from the stored number to our own unit.

    Parameters
    ----------
    bands
        Quantities of the bands.
    table
        The layer's settings, with the stated ``units``.
    scale, offset
        Per band: stored number to the stated unit.
    """
    ways = [_way(band, table) for band in bands]
    pairs = list(zip(ways, scale, offset, strict=True))
    return (
        tuple(one * factor for (factor, _), one, _ in pairs),
        tuple(one * factor + zero for (factor, zero), _, one in pairs),
    )


def say_other_units(noticed: Noticed, bands: Sequence[str], units: Sequence[str], table: LayerTable) -> None:
    """Stop where the file names a unit and the season neither states one nor would read it as that."""
    for band, written in zip(bands, units, strict=True):
        kind = kind_of_band(band)
        unit = _unit_in(kind, written)
        if unit and kind not in table.units and unit != CLIMATE_UNITS[kind][0]:
            read_as = CLIMATE_UNITS[kind][0]
            what = f"the file says {band} is in '{written.strip()}'; it was read as {read_as}, the default."
            fix = f'Add the one that is true: units = {{{kind} = "{unit}"}}'
            noticed.say("unit-differs", "stop", what, fix)
            return


def check_stated_units(noticed: Noticed, table: LayerTable) -> None:
    """Stop the layer where the season states a unit that does not exist."""
    known = CLIMATE_UNITS_OF.get(noticed.name, ())
    for key, unit in table.units.items():
        if key not in known or unit not in CLIMATE_UNITS[key]:
            what = f"units = {{{key} = '{unit}'}} is no unit of this layer."
            choices = "; ".join(f"{one} = {', '.join(CLIMATE_UNITS[one])}" for one in known)
            noticed.say("unit-unknown", "stop", what, f"It can be {choices}.")


def say_stated_twice(noticed: Noticed, parts: Sequence[RasterPart], table: LayerTable) -> None:
    """Say where files and season both state a scale or an offset; stop where tenths are taken twice."""
    for key, stated, of_files in (
        ("scale", table.scale, {one for part in parts for one in part.scale}),
        ("offset", table.offset, {one for part in parts for one in part.offset}),
    ):
        own = sorted(of_files - {_UNSAID[key], stated})
        if stated is not None and own:
            what = f"the file says {key} {own[0]:g}, the season {key} = {stated:g}; the season's was used."
            fix = f"Take the `{key}` line out of this layer, unless the file is wrong."
            noticed.say("scale-differs", "caution", what, fix)
    scales = {one for part in parts for one in part.scale}
    if table.units.get("temperature") == "tenths of degc" and table.scale is None and 0.1 in scales:
        what = (
            "the file says scale 0.1, which makes degrees of tenths, and the season says tenths of degc: "
            "together they make a hundredth of the number."
        )
        noticed.say("unit-twice", "stop", what, "Take the `units` line out of this layer.")


def _way(band: str, table: LayerTable) -> tuple[float, float]:
    kind = kind_of_band(band)
    if not kind:
        return 1.0, 0.0
    factor, zero = _WAYS[kind].get(table.units.get(kind, CLIMATE_UNITS[kind][0]), (1.0, 0.0))
    return factor, 0.0 if band in _DIFFERENCES else zero


def _unit_in(kind: str, written: str) -> str:
    plain = " ".join(written.casefold().split())
    return next((unit for unit, spelt in _SPELT.get(kind, {}).items() if plain in spelt), "")
