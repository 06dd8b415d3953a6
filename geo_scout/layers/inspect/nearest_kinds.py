"""Why a table was not recognised: the layer it looks most like, and what it lacks."""

from geo_scout.layers.inspect.columns_guessed import position_of, required_of
from geo_scout.layers.inspect.kinds_guessed import nearest_layer
from geo_scout.layers.inspect.positions_guessed import is_named, unread_words
from geo_scout.layers.inspect.synonyms import TELLING
from geo_scout.model.columns import columns_of
from geo_scout.model.draft import FoundVector, LayerGuess
from geo_scout.model.listed import listed

_AXES = ("longitude_deg", "latitude_deg")


def why_not_used(table: FoundVector) -> str:
    """Return in a sentence what a table looks most like and what is missing to use it so.

    Parameters
    ----------
    table
        A table that was not taken for any layer.
    """
    guess = nearest_layer(table)
    if guess is None:
        return "it was not recognised: no layer of a season has these shapes and columns."
    seen = listed([f"'{one.theirs}' as {one.ours}" for one in guess.columns], 4)
    looks = f"it looks most like {guess.kind} ({seen}), but"
    lacking = _lacking(guess)
    where = _position_words(guess)
    if where:
        return f"{looks} lacks {where}"
    if lacking:
        adds = " and ".join(f"a column {name} with {_meaning(guess.kind, name)}" for name in lacking)
        return f"{looks} lacks {listed(lacking)}: add {adds}."
    tells = " or ".join(TELLING[guess.kind])
    return (
        f"{looks} nothing else tells that it is: if it is, name it under [layers.{guess.kind}], or give it a "
        f"column {tells}."
    )


def _lacking(guess: LayerGuess) -> list[str]:
    assert guess.vector is not None
    matched = {one.ours for one in guess.columns}
    return [name for name in required_of(guess.kind, guess.vector) if name not in matched]


def _meaning(kind: str, name: str) -> str:
    return next(ours.meaning for ours in columns_of(kind) if ours.name == name).split(",")[0]


def _position_words(guess: LayerGuess) -> str:
    """Return what is wrong with the position of a table without shapes; empty where nothing is."""
    table = guess.vector
    if table is None or table.shapes != "no shapes" or position_of(one.ours for one in guess.columns):
        return ""
    for ours in _AXES:
        column = next((one for one in table.columns if is_named(ours, one)), None)
        unread = unread_words(ours, column) if column else ""
        if column and unread:
            return f"a position that can be read: '{column.name}' holds {unread}."
    return "a position: add columns longitude_deg and latitude_deg with decimal degrees."
