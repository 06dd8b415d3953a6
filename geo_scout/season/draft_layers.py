"""The layers of a drafted season: paths, columns and units, with the evidence behind each line."""

from collections.abc import Mapping
from pathlib import Path

from geo_scout.model.columns import LAYERS
from geo_scout.model.draft import BLANK, ColumnGuess, Inspection, LayerGuess, SettingGuess
from geo_scout.model.rules import Rules
from geo_scout.season.draft_page import Page, blank, fill_in
from geo_scout.season.draft_paths import draft_path
from geo_scout.season.toml_text import note_text, toml_item, toml_text
from geo_scout.season.wording import listed

_YEARS_ANSWER = "take the # away and write the years, such as 1991-2020, for YEARS"


def write_layers_part(page: Page, found: Inspection, folder: Path) -> None:
    """Add a table for each layer that was recognised, and say which were not found.

    Parameters
    ----------
    page
        The season file so far.
    found
        What was found.
    folder
        The draft's folder.
    """
    if found.layer("infestations") is None:
        _ask_infestations(page, found, folder)
    for layer in found.layers:
        _write_layer(page, layer, folder)
    without = [kind for kind in LAYERS if found.layer(kind) is None]
    if without:
        page.add("", "# Not found among your files, and what is off without each:")
        for kind in without:
            page.note(f"  [layers.{kind}]: {LAYERS[kind].without}")


def _ask_infestations(page: Page, found: Inspection, folder: Path) -> None:
    page.open("[layers.infestations]")
    others = [draft_path(one.path, folder)[0] for one in found.unused]
    choices = [
        other for other in others if Path(other).suffix.casefold() in (".shp", ".gpkg", ".geojson", ".csv")
    ]
    page.ask(
        "Which file holds the infestations? None was recognised, and nothing runs without it.",
        [f"path = {blank()}"],
        "write its path for the ?, from the season file's folder and with / between folders"
        + (f", for example {choices[0]}" if choices else ""),
        is_needed=True,
        stand_ins=(),
    )


def _write_layer(page: Page, layer: LayerGuess, folder: Path) -> None:
    page.open(f"[layers.{layer.kind}]")
    page.note(f"Recognised with a score of {layer.score:.2f}: {'; '.join(layer.evidence)}.")
    _write_paths(page, layer, folder)
    settings = {setting.key: setting for setting in layer.settings}
    keys = [key for setting in layer.settings for key in (setting.key, *(key for key, _ in setting.more))]
    asked_columns = {key.removeprefix("columns.") for key in keys if key.startswith("columns.")}
    _write_columns(page, layer, asked_columns)
    for setting in layer.settings:
        if setting.key != "no":
            _write_setting(page, setting, settings)
    _say_kinds(page, layer)


def _write_paths(page: Page, layer: LayerGuess, folder: Path) -> None:
    paths = [draft_path(raster.path, folder) for raster in layer.rasters] or [draft_path(layer.path, folder)]
    if paths[0][1]:
        page.note(f"This file lies {paths[0][1]}.")
    if len(paths) > 1:
        page.add("paths = [", *(f"    {toml_text(path)}," for path, _ in paths), "]")
    else:
        page.set("path", toml_text(paths[0][0]))
    if layer.vector is not None and layer.vector.layer:
        page.set("layer", toml_text(layer.vector.layer))
    crs = layer.vector.crs if layer.vector else layer.rasters[0].crs
    if crs:
        page.note(f"Coordinate reference system: {crs}, as the file says.")
    for remark in layer.vector.remarks if layer.vector else ():
        page.note(f"Note: {remark}")


def _write_columns(page: Page, layer: LayerGuess, asked: set[str]) -> None:
    guesses = [guess for guess in layer.columns if guess.ours not in asked]
    ours = [guess for guess in guesses if guess.theirs.strip().casefold() == guess.ours]
    for guess in guesses:
        if guess not in ours:
            page.set(f"columns.{guess.ours}", toml_text(guess.theirs), _because(guess))
    if ours:
        page.note(
            f"These columns have our names already: {listed([guess.ours for guess in ours], last='and')}."
        )
    unused = unused_columns(layer)
    if unused:
        page.note(f"Not used: {listed(unused, last='and')}.")


def unused_columns(layer: LayerGuess) -> list[str]:
    """Return the file's columns that no meaning of ours was found for."""
    used = {guess.theirs for guess in layer.columns}
    if any(setting.key == "repeated" for setting in layer.settings):
        # The rest of the row is the release's.
        return []
    return [column.name for column in layer.vector.columns if column.name not in used] if layer.vector else []


def _because(guess: ColumnGuess) -> str:
    return f"{guess.score:.2f}: {guess.evidence}"


def _write_setting(page: Page, setting: SettingGuess, settings: Mapping[str, SettingGuess]) -> None:
    lines = [f"{key} = {toml_item(value)}" for key, value in ((setting.key, setting.value), *setting.more)]
    if setting.key == "yes" and "no" in settings:
        lines.append(f"no = {toml_item(settings['no'].value)}")
    if setting.is_offered:
        offered = [f"# {line}" for line in lines]
        page.ask(setting.question, offered, _take_up(setting), is_needed=False, stand_ins=())
    elif setting.value is None:
        is_years = setting.key == "period"
        lines = [f'# {setting.key} = "YEARS"' if is_years else f"# {setting.key} = N"]
        answer = _YEARS_ANSWER if is_years else "take the # away and write your number for N"
        page.ask(setting.question, lines, answer, is_needed=setting.is_needed, stand_ins=())
    elif is_blank(setting):
        stand_ins = _stand_ins(setting)
        page.ask(setting.question, lines, _fill_in(setting), is_needed=True, stand_ins=stand_ins)
    elif setting.question:
        page.ask(setting.question, lines, _confirm(setting), is_needed=setting.is_needed)
    else:
        page.set(
            setting.key, toml_item(setting.value), f"guessed: {setting.evidence}" if setting.evidence else ""
        )
        page.add(*lines[1:])


def is_blank(setting: SettingGuess) -> bool:
    """Return whether a word is missing in a guess, or in each place of a list."""
    return setting.value == BLANK or (isinstance(setting.value, list) and BLANK in setting.value)


def _take_up(setting: SettingGuess) -> str:
    """Return what to do with lines that are comments until the user takes them up."""
    is_open = BLANK in (setting.value, *(value for _, value in setting.more))
    lines = "each line" if setting.more else "the line"
    take = f"if so, take the # away from {lines}"
    if is_open:
        return f"{take} and write {listed(setting.choices)} for the {BLANK}"
    return f"{take}; otherwise leave it"


def _fill_in(setting: SettingGuess) -> str:
    if setting.key == "crs" and not setting.choices:
        return f"write its code, such as EPSG:26912, for the {BLANK}"
    return fill_in(setting.choices)


def _confirm(setting: SettingGuess) -> str:
    if setting.key == "yes":
        return "move or add words until both lists are right, or leave them so"
    others = [choice for choice in setting.choices if choice != setting.value]
    return f"leave it so, or write {listed(others)} instead" if others else "leave it so, or correct it"


def _stand_ins(setting: SettingGuess) -> list[str]:
    """Return a line with which the layer can be looked at; none where only the user can say."""
    if setting.key == "date_format" and setting.choices:
        return [f"date_format = {toml_text(setting.choices[0].split(' (')[0])}"]
    return []


def _say_kinds(page: Page, layer: LayerGuess) -> None:
    """Say which kinds of treatment would have no effect."""
    column = layer.matched("kind") if layer.kind == "treatments" else None
    known: tuple[str, ...] = Rules.model_fields["treatment_kinds"].default
    odd = [text for text in column.counts if text.strip().casefold() not in known] if column else []
    if odd:
        page.note(
            f"Only {listed(known, last='and')} leave a patch out. These words in the column do nothing: "
            f"{note_text(listed([repr(text) for text in odd[:12]], last='and'))}. Write the others in their "
            f"place."
        )
