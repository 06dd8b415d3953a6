"""What else the season file has to say of a table: gathered from the guesses about it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from geo_scout.layers.inspect.columns_guessed import SURE_SCORE, position_of, required_of
from geo_scout.layers.inspect.date_guesses import guess_date_format
from geo_scout.layers.inspect.offered_columns import offer_columns
from geo_scout.layers.inspect.positions_guessed import is_named, unread_words
from geo_scout.layers.inspect.spare_columns import spare_columns
from geo_scout.layers.inspect.system_guesses import DEGREES, guess_system
from geo_scout.layers.inspect.unit_guesses import guess_units
from geo_scout.layers.inspect.weather_guesses import guess_weather_settings
from geo_scout.layers.inspect.word_guesses import guess_words
from geo_scout.model.columns import TABLE_LAYERS, VECTOR_LAYERS, columns_of
from geo_scout.model.draft import BLANK, ColumnGuess, LayerGuess, SettingGuess
from geo_scout.model.listed import listed

_POSITION = ("longitude_deg", "latitude_deg")


def with_settings(
    layer: LayerGuess, systems: Sequence[str], middle_deg: tuple[float, float] | None
) -> LayerGuess:
    """Return the layer with what was guessed of its keys, and what must be asked.

    Parameters
    ----------
    layer
        The layer with its columns.
    systems
        Systems that other files state.
    middle_deg
        Where the placed layers lie; None where none is placed [deg].
    """
    is_table = layer.kind in TABLE_LAYERS
    settings = [
        *(() if is_table else guess_system(layer, systems, middle_deg)),
        *_missing_columns(layer),
        *_doubtful_columns(layer),
        *offer_columns(layer),
        *(guess_units(layer) if layer.kind == "infestations" else ()),
        *(guess_weather_settings(layer) if is_table else ()),
        *_line_width(layer),
        *guess_date_format(layer),
        *guess_words(layer),
        *_encoding(layer),
    ]
    return replace(layer, settings=tuple(settings))


def _missing_columns(layer: LayerGuess) -> Iterator[SettingGuess]:
    found = layer.vector
    if found is None:
        return
    matched = {guess.ours: guess.theirs for guess in layer.columns}
    unused = tuple(one.name for one in found.columns if one.name not in matched.values())
    meanings = {ours.name: ours.meaning for ours in columns_of(layer.kind)}
    for name in required_of(layer.kind, found):
        if name not in matched:
            question = f"Which column holds {name} ({meanings[name]})? None was recognised."
            if not unused:
                question += " Every column is in use, so add one to the table."
            elif not spare_columns(layer, name):
                question += f" If none does, add a column {name} to the table."
            if layer.kind != "infestations":
                question += " Or take this layer out of the season."
            choices = unused
            if name.endswith("_id"):
                choices = tuple(one.name for one in spare_columns(layer, name))
            yield SettingGuess(f"columns.{name}", BLANK, "not recognised", question, choices, is_needed=True)
    # Visits that name their release are placed there.
    is_placed = layer.kind == "visits" and "release_id" in matched
    if (
        found.shapes == "no shapes"
        and layer.kind in VECTOR_LAYERS
        and not position_of(matched)
        and not is_placed
    ):
        yield from _missing_position(layer, unused)


def _missing_position(layer: LayerGuess, unused: tuple[str, ...]) -> Iterator[SettingGuess]:
    """Yield the questions for the columns of a position, and for the system that they are in."""
    found = layer.vector
    assert found is not None
    for name in _POSITION:
        axis = name.removesuffix("_deg")
        named = next((one for one in found.columns if one.name in unused and is_named(name, one)), None)
        unread = unread_words(name, named) if named else ""
        why = f"'{named.name}' was not taken, for {unread}." if named and unread else "None was recognised."
        question = f"Which column holds the {axis} of each row? The table has no shapes. {why}"
        if not unused:
            question += (
                " Every column is in use, so add them to the table, or take this layer out of the season."
            )
        yield SettingGuess(f"columns.{name}", BLANK, "not recognised", question, unused, is_needed=True)
    if unused and not found.crs:
        question = "Are these degrees WGS 84, as receivers give them? If not, write the system's code."
        yield SettingGuess("crs", DEGREES, "no system is stated", question)


def _doubtful_columns(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield a question for each match that its name and cells do not make plain."""
    exchanged = _exchanged(layer)
    if exchanged:
        east, north = exchanged
        question = (
            f"The longitudes could be latitudes: are the two columns '{east.theirs}' and '{north.theirs}' "
            f"exchanged? They were taken so, for {east.evidence}."
        )
        more = ((f"columns.{north.ours}", north.theirs),)
        yield SettingGuess(f"columns.{east.ours}", east.theirs, east.evidence, question, more=more)
    for guess in layer.columns:
        if guess.score < SURE_SCORE and guess not in exchanged:
            question = (
                f"Is '{guess.theirs}' the column for {guess.ours}? If not, name another one or take the "
                f"line out."
            )
            yield SettingGuess(f"columns.{guess.ours}", guess.theirs, guess.evidence, question)


def _exchanged(layer: LayerGuess) -> tuple[ColumnGuess, ...]:
    """Return the guesses for longitude and latitude where each is in the column named for the other."""
    east, north = (next((guess for guess in layer.columns if guess.ours == ours), None) for ours in _POSITION)
    if east is None or north is None or layer.vector is None:
        return ()
    there = layer.vector.column(east.theirs)
    is_other = there is not None and is_named("latitude_deg", there) and not is_named("longitude_deg", there)
    return (east, north) if is_other else ()


def _line_width(layer: LayerGuess) -> Iterator[SettingGuess]:
    found = layer.vector
    if layer.kind == "infestations" and found is not None and found.shapes in ("lines", "mixed shapes"):
        question = (
            "How wide are infestations drawn as lines, in metres? Without an answer they are set aside."
        )
        yield SettingGuess(
            "line_width_m", None, f"it holds {found.shapes}", question, is_needed=found.shapes == "lines"
        )


def _encoding(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield the assumed encoding with a text by which a reader can tell whether it is right."""
    found = layer.vector
    if found is None or not any("not UTF-8" in remark for remark in found.remarks):
        return
    odd = [text for column in found.columns for text in column.counts if not text.isascii()]
    question = (
        f"Are the letters right in {listed([repr(text[:30]) for text in odd[:3]]) or 'this table'}? If not, "
        f"state its encoding."
    )
    yield SettingGuess("encoding", "cp1252", "the table is not UTF-8", question)
