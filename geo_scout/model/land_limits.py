"""What each quantity of a raster can be on land: wider than any record, so that nothing true is doubted."""

from collections.abc import Mapping

# Our choice. Air temperature on record runs from -89.2 to 56.7 degC, the wettest month is 9,300 mm, the
# wettest year 26,470 mm (World Meteorological Organization, archive of extremes; from memory);
# monthly normals lie well inside. The variation of twelve values is at most the root of 12, as percent.
_BY_UNIT: Mapping[str, tuple[float, float]] = {
    "degc": (-90.0, 60.0),
    "mm": (0.0, 5_000.0),
    "m": (-500.0, 9_000.0),
}
_BY_VARIABLE: Mapping[str, tuple[float, float]] = {
    "bio01": (-65.0, 45.0),
    "bio02": (0.0, 40.0),
    "bio03": (0.0, 100.0),
    "bio04": (0.0, 3_500.0),
    "bio07": (0.0, 100.0),
    "bio12": (0.0, 20_000.0),
    "bio15": (0.0, 350.0),
    "bio16": (0.0, 15_000.0),
    "bio17": (0.0, 15_000.0),
    "bio18": (0.0, 15_000.0),
    "bio19": (0.0, 15_000.0),
    "bio13": (0.0, 5_000.0),
    "bio14": (0.0, 5_000.0),
}


def limits_of(band: str) -> tuple[float, float]:
    """Return the least and most a band can hold, in its own unit.

    Examples
    --------
    >>> limits_of("elevation_m"), limits_of("bio04")
    ((-500.0, 9000.0), (0.0, 3500.0))
    """
    return _BY_VARIABLE.get(band) or _BY_UNIT.get(band.rpartition("_")[2], _BY_UNIT["degc"])


def unit_of(band: str) -> str:
    """Return the unit of a band as a sentence writes it.

    Examples
    --------
    >>> unit_of("tmin_01_degc"), unit_of("bio12"), unit_of("bio15")
    ('degC', 'mm', 'percent')
    """
    ending = band.rpartition("_")[2]
    if ending in ("m", "mm"):
        return ending
    if band in ("bio03", "bio15"):
        return "percent"
    if band == "bio04":
        return "degC x 100"
    return "mm" if band in _BY_VARIABLE and band >= "bio12" else "degC"
