"""A key or table the file format does not know."""

from geo_scout.model.agent import AgentProfile
from geo_scout.model.problem import Problem
from geo_scout.model.season import SeasonSettings
from geo_scout.model.setting import Table
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at, slots_of
from geo_scout.season.reserved import FileKind, is_reserved
from geo_scout.season.suggest import CLOSE, VERY_CLOSE, nearest
from geo_scout.season.walk import homes_of
from geo_scout.season.wording import KeyPath, listed, show_key

_CRITERIA = "it belongs in [criteria."
_OTHER: dict[FileKind, tuple[type[Table], str]] = {
    "season": (AgentProfile, "an agent profile"),
    "profile": (SeasonSettings, "the season file"),
}


def unknown_key(
    model: type[Table], document: Document, kind: FileKind, path: KeyPath, meant: KeyPath | None
) -> Problem:
    """Return the mistake for a key that is not known.

    Parameters
    ----------
    model, document, kind
        The file and what it should be.
    path
        The key.
    meant
        A missing key that this one is a misspelling of.
    """
    title, noun = document.title(path), _noun(document, path)
    if is_reserved(kind, path):
        what = f"this {noun} is reserved for a later version."
        return document.problem(
            "unknown-key", path, what, "remove it; this version does not read it.", key=title
        )
    what = f"there is no {noun} with this name{_where(document, path[:-1], noun)}."
    if meant is not None:
        fix = f"did you mean '{meant[-1]}'? It is needed here."
    else:
        fix = _advice(model, document, kind, path)
    return document.problem("unknown-key", path, what, fix, key=title)


def _noun(document: Document, path: KeyPath) -> str:
    if path[:-1] == ("layers",):
        return "layer"
    if path[0] == "criteria" and len(path) == 3:
        return "criterion"
    return "table" if document.title(path).startswith("[") else "key"


def _where(document: Document, above: KeyPath, noun: str) -> str:
    if not above:
        return "" if noun == "table" else " at the top of the file"
    return "" if noun == "layer" else f" in {document.title(above)}"


def _advice(model: type[Table], document: Document, kind: FileKind, path: KeyPath) -> str:
    """Return the nearest name in this table, or where the key belongs, or what this table takes."""
    name, valid, noun = str(path[-1]), _names_in(model, path[:-1]), _noun(document, path)
    home = _home(model, kind, name, document.get(*path))
    if noun == "criterion" and not home.startswith(_CRITERIA):
        # Many criteria are named after what they measure, which has a table or a layer of its own elsewhere.
        home = ""
    close = nearest(name, valid, VERY_CLOSE if home else CLOSE)
    if noun == "criterion" and close is None:
        close = next((one for one in valid if one.startswith(f"{name}_")), None)
    if close is not None:
        return f"did you mean '{close}'?"
    if home:
        return home
    plural = {"criterion": "criteria"}.get(noun, f"{noun}s")
    return f"remove it; the {plural} here are {listed([show_key(key) for key in valid], last='and')}."


def _names_in(model: type[Table], path: KeyPath) -> list[str]:
    slot = slot_at(model, path)
    if slot is None:
        return []
    if slot.is_sourced:
        return ["value", *(("low", "high") if slot.has_range else ()), "source"]
    return [] if slot.model is None else list(slots_of(slot.model))


def _home(model: type[Table], kind: FileKind, name: str, value: object) -> str:
    """Return where a key with such a value belongs; empty where no one place takes it."""
    homes = homes_of(name, value, model)
    other_model, other_file = _OTHER[kind]
    if len(homes) == 1:
        at = "at" if homes[0].startswith("the top") else "in"
        return f"it belongs {at} {homes[0]}."
    if not homes and homes_of(name, value, other_model):
        return f"it belongs in {other_file}."
    return ""
