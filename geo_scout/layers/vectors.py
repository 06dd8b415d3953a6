"""One vector layer from file to frame: open, match, read, place, rules of its kind."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import PurePosixPath

from pyproj import CRS

from geo_scout.layers.cells.columns_match import match_columns
from geo_scout.layers.cells.hosts import check_hosts_present, keep_hosts
from geo_scout.layers.cells.units import check_units
from geo_scout.layers.cells.values import fill_frame, read_numbers_and_dates, set_aside_blanks
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.kinds.infestations import check_infestations
from geo_scout.layers.kinds.land import check_land_classes
from geo_scout.layers.kinds.releases import check_releases
from geo_scout.layers.kinds.repeated_visits import columns_of_the_row, match_repeated, unroll
from geo_scout.layers.kinds.requests import check_requests
from geo_scout.layers.kinds.surveyed_areas import check_surveyed_areas
from geo_scout.layers.kinds.treatments import check_treatments
from geo_scout.layers.kinds.visits import check_visits
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.opening.open_source import open_source
from geo_scout.layers.opening.sources import Cells, Source
from geo_scout.layers.places.geometry import check_shapes, place_in
from geo_scout.layers.places.position_systems import choose_position_crs
from geo_scout.layers.places.positions import match_positions, says_where, with_points
from geo_scout.layers.places.reference_systems import choose_crs
from geo_scout.layers.places.release_places import place_at_releases, place_blanks, releases_in_use
from geo_scout.layers.places.uncertainty import say_coarse, widen_uncertainty
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.finding import Grade
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.season import Season

RULES: Mapping[str, Callable[[LayerDraft], None]] = {
    "infestations": check_infestations,
    "surveyed_areas": check_surveyed_areas,
    "releases": check_releases,
    "visits": check_visits,
    "requests": check_requests,
    "treatments": check_treatments,
    "land_classes": check_land_classes,
}


def open_draft(
    name: str, table: LayerTable, season: Season, releases: LayerDraft | None = None
) -> LayerDraft:
    """Return the layer in its own reference system, columns matched and values read.

    A stop finding on the draft means that the rest was not done. A table of visits without positions takes
    those of the ``releases`` it names.
    """
    draft = LayerDraft(name, table=table, season=season)
    try:
        _fill(draft, releases)
    except LayerRefused as refused:
        draft.refuse(refused)
    return draft


def settle_draft(draft: LayerDraft, working: CRS) -> None:
    """Bring the layer to the working system and apply the rules of its kind."""
    if draft.is_stopped:
        return
    place_in(draft, working)
    if draft.is_stopped:
        return
    if draft.name in RULES:
        RULES[draft.name](draft)
    widen_uncertainty(draft)
    draft.stop_if_too_many_bad()
    if draft.name == "infestations" and not draft.is_stopped and not len(draft.frame):
        draft.say("layer-empty", "stop", "no infestation is left to plan for.", "See why each was set aside.")


def _fill(draft: LayerDraft, releases: LayerDraft | None) -> None:
    source = open_source(draft.season.file_of(draft.table.path), draft.table)
    on_opening = len(source.remarks)
    for remark in source.remarks[:on_opening]:
        draft.say(*remark)
    check_units(draft)
    is_bare = not source.column_names
    if is_bare:
        _refuse_shapes_alone(source, draft)
    matched = {} if is_bare else _match(source, draft)
    entries = match_repeated(source.column_names, draft.table, draft)
    if draft.table.repeated and draft.is_stopped:
        return
    in_rows = [theirs for entry in entries for theirs in entry.values()]
    crs, cells = _read(source, matched, draft, releases, in_rows)
    if cells is not None and entries:
        cells, matched, source = unroll(cells, matched, entries, source, draft)
    for remark in source.remarks[on_opening:]:
        draft.say(*remark)
    if cells is None or (not is_bare and any(name not in matched for name in _required(draft))):
        return
    fill_frame(draft, cells, matched)
    say_coarse(draft)
    if not draft.considered:
        _say_empty(draft)
    hosts = draft.texts("host").tolist() if "host" in draft.frame else []
    if hosts:
        keep_hosts(draft)
    read_numbers_and_dates(draft, matched, source)
    set_aside_blanks(draft)
    if draft.name == "infestations" and hosts:
        check_hosts_present(draft, hosts)
    if crs is not None:
        check_shapes(draft, crs, is_table=not source.has_geometry)


def _read(
    source: Source,
    matched: dict[str, str],
    draft: LayerDraft,
    releases: LayerDraft | None,
    more: Sequence[str] = (),
) -> tuple[CRS | None, Cells | None]:
    wanted = list(dict.fromkeys([*matched.values(), *more]))
    if source.has_geometry:
        crs = choose_crs(source.crs, draft.table, draft)
        cells = source.read(wanted)
        return crs, place_blanks(cells, crs, matched, releases, draft) if draft.name == "visits" else cells
    if draft.name == "visits" and "release_id" in matched and not says_where(source, draft.table):
        usable = releases_in_use(releases)
        return usable.crs, place_at_releases(source.read(wanted), matched, usable, draft)
    try:
        at = match_positions(source, draft.table)
    except LayerRefused as refused:
        draft.refuse(refused)
        return None, None
    crs = choose_position_crs(at, draft.table, draft)
    cells = with_points(source.read([*wanted, *at.names()]), at, crs, draft.table, draft)
    return crs, place_blanks(cells, crs, matched, releases, draft) if draft.name == "visits" else cells


def _match(source: Source, draft: LayerDraft) -> dict[str, str]:
    columns = VECTOR_LAYERS[draft.name].columns
    if draft.table.repeated:
        columns = columns_of_the_row(draft.table)
    return match_columns(columns, source.column_names, draft.table, draft, short_names=source.short_names)


def _required(draft: LayerDraft) -> list[str]:
    return [column.name for column in VECTOR_LAYERS[draft.name].columns if column.is_required]


def _refuse_shapes_alone(source: Source, draft: LayerDraft) -> None:
    """Refuse shapes without any column where the layer needs one; without shapes, too, it is empty."""
    shapes, needed = source.read([]).geometry, _required(draft)
    if shapes is None or not len(shapes) or not needed:
        return
    path = PurePosixPath(draft.table.path)
    what = f"'{path}' holds shapes but no columns; this layer needs {' and '.join(needed)}."
    fix = "Save the layer anew, with its columns."
    if path.suffix.casefold() == ".shp":
        fix = f"Put '{path.stem}.dbf' beside it: the columns of a shapefile are in there."
    raise LayerRefused(what, code="column-missing", fix=fix)


def _say_empty(draft: LayerDraft) -> None:
    grade: Grade = "stop" if draft.name == "infestations" else "caution"
    draft.say("layer-empty", grade, f"'{draft.table.path}' holds no feature.", "Give the file that has them.")
