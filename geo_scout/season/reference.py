"""Every setting and every layer as tables, made from the models themselves."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from geo_scout.model.agent import AgentProfile
from geo_scout.model.climate_quantity import ClimateQuantity
from geo_scout.model.columns import LAYERS, POSITION_COLUMNS, RASTER_LAYERS, TABLE_LAYERS, VECTOR_LAYERS
from geo_scout.model.criteria import ROLES, Curve
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.season import SeasonSettings
from geo_scout.model.setting import Table
from geo_scout.model.weighing_settings import RoleWeights
from geo_scout.season.fields import Slot, slot_at, slots_of
from geo_scout.season.walk import walk
from geo_scout.season.wording import KeyPath, dotted, header, listed, toml_value, unit_words

_CRITERIA_NOTE = (
    "A season that names no criterion of a ranking uses those marked yes; "
    "one that names any uses just those it names."
)
_LIMITS_NOTE = (
    "NAME is one of these. A limit whose layers are not there is not checked, and every site says so; means "
    "of months never answer for one night or one day."
)


@dataclass(frozen=True, slots=True)
class SettingRow:
    """One setting of the season file or of an agent profile.

    Parameters
    ----------
    file
        ``season`` or ``profile``.
    table
        Line that opens its table; empty at the top of the file.
    key
        Dotted key; ``NAME`` and ``ROLE`` stand for any of their kind.
    default
        As the file would write it; ``needed`` where the file must state a value, ``none``
        where it may stay unset; for a criterion ``on`` or ``off``.
    unit
        Unit of the value, empty for text and counts.
    range
        Limits or choices in words.
    meaning, source
        As declared with the setting.
    """

    file: str
    table: str
    key: str
    default: str
    unit: str
    range: str
    meaning: str
    source: str


def settings_reference() -> list[SettingRow]:
    """Return every setting of the season file, then every setting of an agent profile."""
    season = [_row("season", SeasonSettings, path, slot) for path, slot in _season_settings()]
    profile = [_row("profile", AgentProfile, path, slot) for path, slot in _leaves(AgentProfile, ())]
    return season + profile


def _season_settings() -> Iterator[tuple[KeyPath, Slot]]:
    """Yield the settings of the season file; the table all layers share, and the curve, come once."""
    for name, slot in slots_of(SeasonSettings).items():
        if name == "layers":
            yield from _leaves(LayerTable, ("layers", "NAME"))
        elif name == "criteria":
            yield from _criteria()
            yield from _leaves(Curve, ("criteria", "ROLE", "NAME", "curve"))
        elif name == "weights":
            yield from _leaves(RoleWeights, ("weights", "ROLE"))
        elif slot.model is None:
            yield (name,), slot
        else:
            yield from _leaves(slot.model, (name,))


def _criteria() -> Iterator[tuple[KeyPath, Slot]]:
    for role in ROLES:
        above = slot_at(SeasonSettings, ("criteria", role))
        for name, slot in slots_of(above.model).items() if above is not None and above.model else ():
            path: KeyPath = ("criteria", role, name)
            yield path, slot
            for key, inner in slots_of(slot.model).items() if slot.model else ():
                yield (*path, key), inner


def _leaves(model: type[Table], above: KeyPath) -> Iterator[tuple[KeyPath, Slot]]:
    for path, slot in walk(model):
        if slot.model is None:
            yield (*above, *path), slot


def _row(file: str, model: type[Table], path: KeyPath, slot: Slot) -> SettingRow:
    # The table all layers share stands for any of them, and so does the one both rankings share.
    named = ("layers", "visits", *path[2:-1]) if path[:2] == ("layers", "NAME") else path[:-1]
    named = ("weights", "release", *path[2:-1]) if path[:2] == ("weights", "ROLE") else named
    around = slot_at(model, named)
    is_list = around is not None and around.kind == "tables"
    return SettingRow(
        file=file,
        table=header(path[:-1], is_list=is_list) if path[:-1] else "",
        key=dotted(path),
        default=_default_text(path, slot),
        unit=unit_words(slot.unit).strip() or slot.unit,
        range=_range(slot),
        meaning=slot.meaning,
        source=slot.source,
    )


def _range(slot: Slot) -> str:
    """Return the limits without their unit, which has a column of its own, or the choices."""
    if slot.choices:
        return listed([str(choice) for choice in slot.choices])
    return replace(slot, unit="").range_text()


def _default_text(path: KeyPath, slot: Slot) -> str:
    if path[0] == "criteria" and len(path) == 3:
        role = slot_at(SeasonSettings, path[:2])
        used = None if role is None else getattr(role.default, str(path[2]))
        return "on" if used is not None else "off"
    if slot.is_needed:
        return "needed"
    return "none" if slot.default is None else toml_value(slot.default)


def reference_markdown() -> str:
    """Return the settings as Markdown, one table for each table of the two files."""
    parts = []
    for file, title in (("season", "The season file"), ("profile", "An agent profile")):
        parts.append(f"## {title}")
        rows = [row for row in settings_reference() if row.file == file]
        for table in dict.fromkeys(row.table for row in rows):
            inside = [row for row in rows if row.table == table]
            if table.startswith("[criteria.") and "NAME" not in table:
                parts += _criteria_part(table, rows) if table.count(".") == 1 else []
            else:
                parts += [f"### {_heading(table)}", _settings_table(inside)]
                parts += [_LIMITS_NOTE, limits_table()] if table == "[climate.limits.NAME]" else []
    return "\n\n".join(parts) + "\n"


def _heading(table: str) -> str:
    if table == "[criteria.ROLE.NAME.curve]":
        return "`curve = {...}` of a criterion"
    if table.startswith("[[weights."):
        above, _, key = table.strip("[]").rpartition(".")
        return f"`{key} = [{{...}}, ...]` of `[{above}]`"
    return f"`{table}`" if table else "At the top of the file"


def _settings_table(rows: Sequence[SettingRow]) -> str:
    columns: dict[str, Callable[[SettingRow], str]] = {
        "key": lambda row: f"`{row.key.rsplit('.', 1)[-1]}`",
        "default": lambda row: row.default if row.default in ("needed", "none") else f"`{row.default}`",
        "unit": lambda row: row.unit,
        "range": lambda row: row.range,
        "meaning": lambda row: row.meaning,
        "source of the default": lambda row: row.source,
    }
    return _markdown({name: [cell(row) for row in rows] for name, cell in columns.items()})


def limits_table() -> str:
    """Return every climate limit a profile may state, with its unit and the data that can answer it."""
    return _markdown(
        {
            "NAME": [f"`{one.value}`" for one in ClimateQuantity],
            "unit": [one.unit for one in ClimateQuantity],
            "meaning": [one.meaning for one in ClimateQuantity],
            "layers that answer it": [one.data for one in ClimateQuantity],
        }
    )


def _criteria_part(table: str, rows: Iterable[SettingRow]) -> list[str]:
    by_key = {row.key: row for row in rows}
    names = [key for key, row in by_key.items() if row.table == table]
    curves = [by_key[f"{name}.curve"] for name in names]
    columns: dict[str, list[str]] = {
        "criterion": [f"`{name.rsplit('.', 1)[-1]}`" for name in names],
        "used by default": ["yes" if by_key[name].default == "on" else "no" for name in names],
        "`weight`": [by_key[f"{name}.weight"].default for name in names],
        "`curve`": [f"`{curve.default}`" for curve in curves],
        "unit": [curve.unit for curve in curves],
        "meaning": [by_key[name].meaning for name in names],
        "source of the defaults": [curve.source for curve in curves],
    }
    return [f"### `{table}`", _CRITERIA_NOTE, _markdown(columns)]


def layers_markdown() -> str:
    """Return what each layer adds, what is off without it, and the columns of each vector layer and table."""
    vectors = VECTOR_LAYERS.items()
    rasters = [
        (name, f"raster, {kind.bands or 'any number of'} band{'' if kind.bands == 1 else 's'}", kind)
        for name, kind in RASTER_LAYERS.items()
    ]
    layers: dict[str, list[str]] = {
        "layer": [f"`{name}`" for name in LAYERS],
        "what": [str(kind.shapes) for _, kind in vectors]
        + [what for _, what, _ in rasters]
        + ["table"] * len(TABLE_LAYERS),
        "unit": [""] * len(VECTOR_LAYERS)
        + [unit_words(kind.unit).strip() for _, _, kind in rasters]
        + [""] * len(TABLE_LAYERS),
        "adds": [kind.adds for kind in LAYERS.values()],
        "without it": [kind.without for kind in LAYERS.values()],
    }
    pairs = [(name, column) for name, kind in vectors for column in kind.columns]
    pairs += [(name, column) for name, kind in TABLE_LAYERS.items() for column in kind.columns]
    pairs += [("any layer of points", column) for column in POSITION_COLUMNS]
    columns: dict[str, list[str]] = {
        "layer": [f"`{name}`" if name in LAYERS else name for name, _ in pairs],
        "column": [f"`{column.name}`" for _, column in pairs],
        "needed": ["yes" if column.is_required else "" for _, column in pairs],
        "kind": [str(column.kind) for _, column in pairs],
        "meaning": [column.meaning for _, column in pairs],
        "Darwin Core": [f"`{column.term}`" if column.term else "" for _, column in pairs],
    }
    return "\n\n".join(("## The layers", _markdown(layers), "### Their columns", _markdown(columns))) + "\n"


def _markdown(columns: dict[str, list[str]]) -> str:
    """Return a Markdown table; a column without any entry is left out."""
    used = {name: cells for name, cells in columns.items() if any(cells)}
    lines = [list(used), ["---"] * len(used), *(list(cells) for cells in zip(*used.values(), strict=True))]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)
