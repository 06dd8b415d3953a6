"""What a layer's table must also be true of: its file, its columns, units, dates and words."""

import datetime as dt
import warnings
from collections.abc import Iterator, Mapping
from pathlib import Path

from pyproj import CRS
from pyproj.exceptions import CRSError

from geo_scout.formulas.cover_classes import SCHEMES
from geo_scout.model.columns import (
    CLIMATE_UNITS,
    CLIMATE_UNITS_OF,
    LAYERS,
    SPREADSHEET_DAY,
    columns_of,
)
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.problem import Problem
from geo_scout.season.cover_scheme_checks import own_schemes
from geo_scout.season.document import Document
from geo_scout.season.encodings import check_encoding
from geo_scout.season.layer_keys import check_misplaced, is_for
from geo_scout.season.layer_paths import check_layer_paths
from geo_scout.season.repeated_checks import check_repeated
from geo_scout.season.suggest import did_you_mean, nearest
from geo_scout.season.wording import KeyPath, listed, show_key, show_value

UNITS: dict[str, tuple[str, ...]] = {
    "cover": ("percent", "share", *(f"class:{scheme}" for scheme in SCHEMES)),
    "area": ("ha", "acre", "m2", "ft2", "km2"),
}
_SAMPLE_DAY = dt.datetime(2027, 11, 23, tzinfo=dt.UTC)


def check_layers(document: Document, folder: Path) -> Iterator[Problem]:
    """Yield the mistakes of every layer, in the order of the file."""
    for name in document.table("layers"):
        path: KeyPath = ("layers", name)
        if name not in LAYERS:
            continue
        yield from check_layer_paths(document, path, folder)
        yield from _check_crs(document, (*path, "crs"))
        yield from check_misplaced(document, path)
        if is_for("columns", name):
            yield from _check_columns(document, path, name)
        if is_for("repeated", name):
            yield from check_repeated(document, path)
        if is_for("units", name):
            yield from _check_units(document, (*path, "units"), _units_of(document, name))
        if is_for("encoding", name):
            yield from check_encoding(document, (*path, "encoding"))
        if is_for("date_format", name):
            yield from _check_date_format(document, (*path, "date_format"))
        if is_for("yes", name):
            yield from _check_words(document, path)


def _check_crs(document: Document, path: KeyPath) -> Iterator[Problem]:
    written = document.text(*path)
    if written is None or _is_crs(written):
        return
    digits = written.strip()
    code = f"EPSG:{digits}" if digits.isdecimal() and _is_crs(f"EPSG:{digits}") else "EPSG:4326"
    what = f"{show_value(written)} is not a coordinate reference system."
    advice = f'write crs = "{code}"' if digits.isdecimal() and code != "EPSG:4326" else ""
    fix = advice or f'write its code, for example crs = "{code}" for longitude and latitude.'
    yield document.problem("crs", path, what, fix)


def _is_crs(written: str) -> bool:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            CRS.from_user_input(written)
        except CRSError:
            return False
    return True


def _check_columns(document: Document, path: KeyPath, name: str) -> Iterator[Problem]:
    ours = [column.name for column in columns_of(name)]
    for key, theirs in document.table(*path, "columns").items():
        place = (*path, "columns", key)
        if key not in ours:
            what = f"the layer {name} has no column of ours with this name; ours stands left of the = sign."
            reverse = nearest(theirs, ours) if isinstance(theirs, str) else None
            fix = did_you_mean(key, ours, f"our columns here are {listed(ours, last='and')}.")
            if not fix.startswith("did") and reverse is not None:
                fix = f'the two sides look swapped: {reverse} = "{key}"'
            yield document.problem("unknown-key", place, what, fix)
        elif theirs == "":
            fix = f"write the name of your column, or remove {show_key(key)}."
            yield document.problem("bad-choice", place, "the name of the column is empty.", fix)


def _units_of(document: Document, name: str) -> Mapping[str, tuple[str, ...]]:
    if name in CLIMATE_UNITS_OF:
        return {key: CLIMATE_UNITS[key] for key in CLIMATE_UNITS_OF[name]}
    own = tuple(f"class:{scheme}" for scheme in own_schemes(document))
    return {**UNITS, "cover": UNITS["cover"] + own}


def _check_units(
    document: Document, path: KeyPath, units: Mapping[str, tuple[str, ...]]
) -> Iterator[Problem]:
    for key, unit in document.table(*path).items():
        if key not in units:
            names, have = listed(list(units), last="and"), "have" if len(units) > 1 else "has"
            what = f"only {names} {have} a unit."
            fix = did_you_mean(key, units, f"remove it; the keys here are {names}.")
            yield document.problem("unknown-key", (*path, key), what, fix)
        elif isinstance(unit, str) and unit not in units[key]:
            quoted = listed([f"'{choice}'" for choice in units[key]])
            fix = did_you_mean(unit, units[key], f"write {quoted}.")
            yield document.problem(
                "bad-choice", (*path, key), f"{show_value(unit)} is not one of {quoted}.", fix
            )


def _check_date_format(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a date format from which a date cannot be read back."""
    written = document.text(*path)
    if written is None or written == SPREADSHEET_DAY or _reads_back(written):
        return
    what = f"{show_value(written)} does not say where day, month and year stand (%d, %m, %Y)."
    yield document.problem(
        "date-format",
        path,
        what,
        f'for {_SAMPLE_DAY:%d.%m.%Y} write date_format = "%d.%m.%Y"; for day numbers of a spreadsheet, such '
        f'as 45000, write date_format = "{SPREADSHEET_DAY}"',
    )


def _reads_back(date_format: str) -> bool:
    try:
        text = _SAMPLE_DAY.strftime(date_format)
        day = dt.datetime.strptime(text, date_format).replace(tzinfo=dt.UTC)
    except ValueError:
        return False
    return day.date() == _SAMPLE_DAY.date()


def _check_words(document: Document, path: KeyPath) -> Iterator[Problem]:
    """Yield the mistake of a word that means both yes and no, the default words counted."""
    words = {key: _words(document, path, key) for key in ("yes", "no")}
    both = [word for word in words["yes"] if word in words["no"]]
    key = "yes" if document.get(*path, "yes") is not None else "no"
    for word in both:
        what = f"{show_value(word)} means yes and no at once; {_default_words(document, path)}."
        yield document.problem(
            "bad-choice", (*path, key), what, "give yes and no different words, both lists written out."
        )


def _words(document: Document, path: KeyPath, key: str) -> list[str]:
    if isinstance(document.get(*path, key), list):
        words = [word for _, word in document.texts(*path, key)]
    else:
        words = list(LayerTable.model_fields[key].default)
    return list(dict.fromkeys(word.strip().casefold() for word in words))


def _default_words(document: Document, path: KeyPath) -> str:
    for key in ("yes", "no"):
        if document.get(*path, key) is None:
            words = ", ".join(LayerTable.model_fields[key].default)
            return f"without a line of its own, {key} is {words}"
    return "capitals do not matter"
