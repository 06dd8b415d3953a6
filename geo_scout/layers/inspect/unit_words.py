"""Units of area in the names of columns: which one a name says, and the name without it."""

from geo_scout.layers.inspect.names import words_of

_UNIT_WORDS: dict[str, tuple[tuple[str, ...], ...]] = {
    "acre": (("acre",), ("acreage",)),
    "ha": (("hectare",),),
    "ft2": (("sqft",), ("sq", "ft"), ("square", "feet"), ("ft2",), ("square", "foot")),
    "m2": (("sqm",), ("sq", "m"), ("m2",), ("square", "metre"), ("square", "meter")),
    "km2": (("km2",), ("sqkm",), ("sq", "km")),
}


def area_unit_of(name: str) -> str:
    """Return the unit of area that a column's name says; empty where it says none.

    Examples
    --------
    >>> area_unit_of("Size (acres)"), area_unit_of("size_ha"), area_unit_of("size")
    ('acre', 'ha', '')
    """
    words = set(words_of(name))
    return next((unit for unit, ways in _UNIT_WORDS.items() if any(set(way) <= words for way in ways)), "")


def without_units(name: str) -> str:
    """Return the words of a column's name without its unit of area.

    Examples
    --------
    >>> without_units("Size_sq_ft"), without_units("acres")
    ('size', '')
    """
    words = list(words_of(name))
    for ways in _UNIT_WORDS.values():
        for way in ways:
            if set(way) <= set(words):
                words = [word for word in words if word not in way]
    return " ".join(words)
