"""Columns that no meaning was found for, and what their cells could still be."""

from geo_scout.layers.inspect.cell_tests import cells_fit
from geo_scout.layers.inspect.names import likeness, words_of
from geo_scout.layers.inspect.synonyms import POSITION_PHRASES, ROW_NUMBERS
from geo_scout.layers.inspect.unit_words import area_unit_of
from geo_scout.model.column import Column
from geo_scout.model.columns import columns_of
from geo_scout.model.draft import FoundColumn, LayerGuess
from geo_scout.model.folded import folded

# What programs write of themselves, and columns of sentences.
_OF_PROGRAMS = frozenset(
    {"tessellate", "extrude", "visibility", "draworder", "altitudemode", "icon", "snippet", "styleurl", "sym",
     "src", "type", "fix", "sat", "hdop", "vdop", "pdop", "magvar", "geoidheight", "ageofdgpsdata", "dgpsid",
     "link1_href", "link1_text", "link1_type", "link2_href", "link2_text", "link2_type", "url", "photo",
     "shape_area", "shape_leng", "shape_length", "shape_le_1", "globalid", "ele"}
)  # fmt: skip
_OF_SENTENCES = frozenset({"note", "comment", "remark", "description", "detail", "direction", "memo"})
_OF_AREA = frozenset({"area", "size", "extent", "acreage", "gross", "net"})
_OF_COVER = frozenset(
    {
        "cover",
        "canopy",
        "density",
        "abundance",
        "severity",
        "intensity",
        "level",
        "class",
        "percent",
        "infestation",
    }
)
_OF_PLACE = frozenset({"elevation", "elev", "altitude", "height", "slope", "aspect", "zone"})
_OF_NOBODY = frozenset(
    {"county", "state", "jurisdiction", "district", "township", "country", "region", "habitat", "soil",
     "surface", "genus", "family", "project", "method", "status", "type", "class", "trend", "phenology",
     "stage", "species"}
)  # fmt: skip
_LEAST_FIT, _WORDS_FIT = 0.3, 0.5
_LONGEST_ID, _LONGEST_NAME = 24, 40
_PLACE_LIKE = 0.9


def spare_columns(layer: LayerGuess, ours: str) -> tuple[FoundColumn, ...]:
    """Return the unused columns whose cells could be one of ours, the likeliest by its name first.

    Parameters
    ----------
    layer
        The layer, with the columns that were matched.
    ours
        Name of our column.
    """
    if layer.vector is None:
        return ()
    column = next(one for one in columns_of(layer.kind) if one.name == ours)
    used = {guess.theirs for guess in layer.columns}
    spare = [one for one in layer.vector.columns if one.name not in used and _could_be(column, one)]
    return tuple(sorted(spare, key=lambda one: not _says(column.name, one.name)))


def _could_be(ours: Column, column: FoundColumn) -> bool:
    words = set(words_of(column.name))
    if not column.filled or folded(column.name) in _OF_PROGRAMS | ROW_NUMBERS or words & _OF_SENTENCES:
        return False
    if _is_place(column.name):
        return False
    fit, _ = cells_fit(ours, column)
    if fit <= _LEAST_FIT:
        return False
    says = {name for name in ("area", "cover") if _says(name, column.name)}
    if says and ours.name not in says:
        return False
    if ours.name == "cover":
        # Any column of a few words could be classes.
        return fit > _WORDS_FIT or _says("cover", column.name)
    longest = max(len(text) for text in column.counts)
    if ours.name == "manager":
        is_repeated = longest <= _LONGEST_NAME and len(column.counts) < column.filled
        return is_repeated and not words & _OF_NOBODY
    return not ours.name.endswith("id") or (longest <= _LONGEST_ID and _is_code(column))


def _says(ours: str, name: str) -> bool:
    words = set(words_of(name))
    if ours == "area":
        return bool(area_unit_of(name)) or bool(words & _OF_AREA)
    return bool(words & _OF_COVER) if ours == "cover" else False


def _is_place(name: str) -> bool:
    return bool(set(words_of(name)) & _OF_PLACE) or any(
        likeness(name, (ours.replace("_", " "), *phrases))[0] >= _PLACE_LIKE
        for ours, phrases in POSITION_PHRASES.items()
    )


def _is_code(column: FoundColumn) -> bool:
    return column.is_unique and not (column.numbers_share > 0.0 and not column.is_whole)
