"""From files to what they seem to be: the table of contents of this part of the room."""

from collections.abc import Iterable, Mapping
from pathlib import Path

from geo_scout.layers.inspect.candidates import list_candidates
from geo_scout.layers.inspect.columns_guessed import Hints
from geo_scout.layers.inspect.joinable_visits import count_joinable
from geo_scout.layers.inspect.kinds_guessed import assign_kinds, guess_layer
from geo_scout.layers.inspect.names_listed import list_agents, list_names, middle_of
from geo_scout.layers.inspect.nearest_kinds import why_not_used
from geo_scout.layers.inspect.open_files import open_files
from geo_scout.layers.inspect.rasters_guessed import assign_rasters
from geo_scout.layers.inspect.repeated_guessed import guess_flat_visits
from geo_scout.layers.inspect.vector_settings import with_settings
from geo_scout.model.columns import LAYERS, TABLE_LAYERS
from geo_scout.model.draft import FoundVector, Inspection, LayerGuess, Unused
from geo_scout.model.folded import folded


def inspect_files(named: Iterable[Path], draft_folder: Path) -> Inspection:
    """Return what the user's files seem to be. They are only read.

    Parameters
    ----------
    named
        Files and folders as the user named them.
    draft_folder
        Where the draft will be written; passed over when it lies in one of the folders.
    """
    candidates, alone = list_candidates(named, draft_folder)
    opened = open_files(candidates)
    assigned = assign_kinds(opened.vectors)
    rasters, odd = assign_rasters(opened.rasters)
    first = {layer.kind: layer for layer in assigned.layers}
    hinted = {kind: _looked_again(layer, first) for kind, layer in first.items()}
    stated = [*(one.crs for one in opened.vectors), *(one.crs for one in opened.rasters)]
    systems = [crs for crs in dict.fromkeys(stated) if crs]
    middle = _middle(hinted)
    vectors = {kind: with_settings(layer, systems, middle) for kind, layer in hinted.items()}
    flat = (
        guess_flat_visits(vectors["releases"]) if "releases" in vectors and "visits" not in vectors else None
    )
    if flat is not None:
        vectors["visits"] = flat
    layers = vectors | {layer.kind: layer for layer in rasters}
    hosts = list_names([layers[kind] for kind in ("infestations",) if kind in layers], "host")
    return Inspection(
        layers=tuple(layers[kind] for kind in LAYERS if kind in layers),
        unused=(*alone, *opened.unused, *_left_over(assigned.rest, first), *odd),
        hosts=hosts,
        # The rows of a flat table are counted once.
        agents=list_agents({kind: layer for kind, layer in layers.items() if layer is not flat}, hosts),
        land_classes=list_names([layers[kind] for kind in ("land_classes",) if kind in layers], "class"),
        jurisdictions=list_names(
            [layers[kind] for kind in ("boundaries",) if kind in layers], "jurisdiction"
        ),
        middle_deg=middle,
        could_join=count_joinable(layers),
    )


def _looked_again(layer: LayerGuess, others: Mapping[str, LayerGuess]) -> LayerGuess:
    """Return the layer with its columns matched once more, now that the other layers' values are known."""
    if layer.vector is None:
        return layer
    return guess_layer(layer.kind, layer.vector, _hints(layer.kind, others))


def _hints(kind: str, others: Mapping[str, LayerGuess]) -> Hints:
    columns = {"visits": ("release_id", "agent"), "releases": ("agent",), "requests": ("agent",),
               "surveyed_areas": ("host",)}.get(kind, ())  # fmt: skip
    sources = {"release_id": ("releases",), "agent": ("releases", "visits"), "host": ("infestations",)}
    hints: dict[str, set[str]] = {}
    for ours in columns:
        found = [others[one].matched(ours) for one in sources[ours] if one in others and one != kind]
        hints[ours] = {folded(text) for column in found if column for text in column.counts}
    return hints


def _middle(layers: Mapping[str, LayerGuess]) -> tuple[float, float] | None:
    infestations = layers.get("infestations")
    own = middle_of([infestations]) if infestations else None
    return own or middle_of(layers.values())


def _left_over(
    rest: Iterable[tuple[FoundVector, LayerGuess | None]], used: Mapping[str, LayerGuess]
) -> list[Unused]:
    return [
        Unused(table.path, table.layer, why_not_used(table) if guess is None else _why_second(guess, used))
        for table, guess in rest
    ]


def _why_second(guess: LayerGuess, used: Mapping[str, LayerGuess]) -> str:
    other = used[guess.kind].vector
    name = "" if other is None else f"{other.path.name}{f', layer {other.layer}' if other.layer else ''}"
    together = _together(guess, other)
    return (
        f"it looks like {guess.kind} too ({guess.score:.2f}), but {name} does more so. A season has one "
        f"layer of each kind: {together} to use both."
    )


def _together(guess: LayerGuess, other: FoundVector | None) -> str:
    """Return how two tables of one kind become one; most formats hold one kind of shape in a layer."""
    shapes = {one.shapes for one in (guess.vector, other) if one is not None}
    if guess.kind in TABLE_LAYERS or shapes == {"no shapes"}:
        return "put the rows of both into one table"
    if len(shapes) == 1:
        return "join the two in your GIS"
    if "no shapes" in shapes:
        return "make points of the table in your GIS and put both into one GeoPackage or GeoJSON layer"
    both = "put both into one GeoPackage or GeoJSON layer, which may hold both kinds of shape"
    if "lines" in shapes and guess.kind != "water":
        return f"buffer the lines by half their width to polygons in your GIS, then merge the two; or {both},"
    return f"{both}, which a shapefile and a geodatabase layer cannot,"
