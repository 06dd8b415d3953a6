"""What the season file must also be true of, beyond the kind and range of each value."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from geo_scout.model.problem import Problem
from geo_scout.model.rules import Rules
from geo_scout.season.climate_checks import check_climate_table, check_variables
from geo_scout.season.combination_checks import check_combination
from geo_scout.season.cover_scheme_checks import check_cover_schemes
from geo_scout.season.criteria_checks import check_criteria
from geo_scout.season.document import Document
from geo_scout.season.layer_checks import check_layers
from geo_scout.season.paths import check_file, check_written, is_well_written
from geo_scout.season.record_checks import check_records
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.unique import check_unique
from geo_scout.season.weight_checks import check_weights
from geo_scout.season.wording import KeyPath, dotted, listed, show_value

_OUTPUTS: KeyPath = ("season", "outputs")
_AGENTS: KeyPath = ("season", "agents")


def check_season(document: Document, folder: Path) -> Iterator[Problem]:
    """Yield the mistakes of a season file that its model cannot see.

    Parameters
    ----------
    document
        The season file.
    folder
        Its folder, where relative paths start.
    """
    yield from _check_dates(document)
    yield from _check_agents(document, folder)
    yield from _check_outputs(document, folder)
    yield from check_written(document, ("season", "previous"))
    yield from check_file(document, ("season", "previous"), folder)
    yield from check_layers(document, folder)
    yield from check_cover_schemes(document)
    yield from _check_crews(document)
    yield from _check_treatment_kinds(document)
    yield from check_criteria(document)
    yield from check_weights(document)
    yield from check_combination(document)
    yield from check_variables(document, ("climate", "variables"))
    yield from _check_reference(document)
    yield from check_climate_table(document)
    yield from _check_slope_limit(document)
    yield from check_records(document)


def _check_dates(document: Document) -> Iterator[Problem]:
    start, end = document.date("season", "start"), document.date("season", "end")
    if start is not None and end is not None and end < start:
        what = f"the season ends on {end}, before it starts on {start}."
        later = end.replace(year=min(start.year + 1, dt.MAXYEAR), day=min(end.day, 28))
        fix = f"exchange the two dates, or write the year in which the season ends: end = {later}"
        yield document.problem("date-order", ("season", "end"), what, fix)


def _check_agents(document: Document, folder: Path) -> Iterator[Problem]:
    if document.get(*_AGENTS) == []:
        fix = 'name at least one: agents = ["agents/NAME.toml"]'
        yield document.problem("season-empty", _AGENTS, "this list is empty; nothing can be ranked.", fix)
    seen: dict[PurePosixPath, KeyPath] = {}
    for path, written in document.texts(*_AGENTS):
        yield from check_written(document, path)
        yield from check_file(document, path, folder)
        first = seen.setdefault(PurePosixPath(written), path)
        if first != path:
            what = f"{show_value(written)} is already listed as {dotted(first)}."
            yield document.problem("duplicate-name", path, what, "remove one of the two.")


def _check_outputs(document: Document, folder: Path) -> Iterator[Problem]:
    """Yield the mistake of an outputs folder that would swallow the inputs when it is replaced."""
    yield from check_written(document, _OUTPUTS)
    written = document.text(*_OUTPUTS)
    if written is None or not is_well_written(written):
        return
    target = (folder / written).resolve()
    inputs = [folder / document.file, *(folder / name for name in _inputs(document) if is_well_written(name))]
    fix = 'give the results a folder of their own: outputs = "outputs"'
    if target.is_file():
        yield document.problem(
            "bad-path", _OUTPUTS, f"{show_value(written)} is a file; a folder is needed.", fix
        )
    elif any(target in file.resolve().parents for file in inputs):
        what = f"{show_value(written)} holds files this season reads; each run replaces the outputs folder."
        yield document.problem("bad-path", _OUTPUTS, what, fix)


def _inputs(document: Document) -> Iterator[str]:
    for _, written in document.texts(*_AGENTS):
        yield written
    for name in document.table("layers"):
        path = document.text("layers", name, "path")
        if path is not None:
            yield path
        for _, written in document.texts("layers", name, "paths"):
            yield written


def _check_crews(document: Document) -> Iterator[Problem]:
    yield from check_unique(document, list(document.rows("crews")), "name", "crew")


def _check_treatment_kinds(document: Document) -> Iterator[Problem]:
    known: tuple[str, ...] = Rules.model_fields["treatment_kinds"].default
    quoted = listed([f"'{kind}'" for kind in known])
    for path, kind in document.texts("rules", "treatment_kinds"):
        if kind not in known:
            what = f"{show_value(kind)} is not one of {quoted}."
            yield document.problem("bad-choice", path, what, did_you_mean(kind, known, f"write {quoted}."))


def _check_reference(document: Document) -> Iterator[Problem]:
    """Yield the mistake of climate cells to be taken from a layer the season does not have."""
    path: KeyPath = ("climate", "reference")
    name = document.text(*path)
    if name in ("boundaries", "surveyed_areas", "land_classes") and name not in document.table("layers"):
        what = f"the season has no layer {show_value(name)} to take the climate cells from."
        yield document.problem("layer-missing", path, what, f"add [layers.{name}], or remove the line.")


def _check_slope_limit(document: Document) -> Iterator[Problem]:
    """Yield the mistake of a limit on the slope in a season without elevation."""
    path: KeyPath = ("rules", "max_slope_deg")
    if document.get(*path) is not None and "elevation" not in document.table("layers"):
        what = "the season has no layer 'elevation' to take the slope from."
        yield document.problem("layer-missing", path, what, "add [layers.elevation], or remove the line.")
