"""Every layer of a season, read once: the table of contents of this room."""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from pyproj import CRS

from geo_scout.layers.crosschecks.crosscheck import crosscheck
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.remarks import FIRST
from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.layers.kinds.visits import link_visits
from geo_scout.layers.noticed import Noticed
from geo_scout.layers.opening.digests import files_of, read_digests
from geo_scout.layers.opening.gdal_settings import untouched_inputs
from geo_scout.layers.places.reference_systems import choose_working_crs, first_points_deg
from geo_scout.layers.previous import read_previous
from geo_scout.layers.rasters.raster import describe_raster
from geo_scout.layers.vectors import open_draft, settle_draft
from geo_scout.layers.weather import read_tables
from geo_scout.model.columns import RASTER_LAYERS, VECTOR_LAYERS
from geo_scout.model.finding import Finding, first_of_each
from geo_scout.model.layers import LayerSet, RasterLayer
from geo_scout.model.season import Season


def read_layers(season: Season) -> LayerSet:
    """Return every layer the season names, checked and in one working reference system.

    Nothing that is wrong in a layer raises: it becomes a finding. A layer with a ``stop`` finding is left
    out of ``vectors`` and ``rasters``. The files are not touched.

    Parameters
    ----------
    season
        The season: its layers, agents, rules and day.

    Returns
    -------
    LayerSet
        Findings come in the order of the layers, then of the steps, then of the rows.
    """
    given = season.settings.layers.given()
    with untouched_inputs():
        drafts: dict[str, LayerDraft] = {}
        for name in VECTOR_LAYERS:
            if name in given:
                drafts[name] = open_draft(name, given[name], season, drafts.get("releases"))
        working = _working_crs(drafts.get("infestations"), season)
        for draft in drafts.values():
            settle_draft(draft, working)
        _link(drafts)
        rasters, noticed, raster_files = _read_rasters(season)
        tables = read_tables(season)
        noticed_so_far: dict[str, Noticed] = {**drafts, **noticed}
        read = LayersRead(season, drafts, rasters, noticed_so_far, tables.weather, tables.station_normals)
        crosscheck(read)
        earlier = Noticed("previous")
        previous = read_previous(season, working, earlier)
    vectors = {name: draft.frame for name, draft in drafts.items() if not draft.is_stopped}
    if previous is not None:
        vectors["previous"] = previous
    paths = [given[name].path for name in (*drafts, *tables.noticed)]
    if season.settings.season.previous:
        paths.append(season.settings.season.previous)
    files = [file for path in paths for file in files_of(season.file_of(path))]
    return LayerSet(
        crs=working,
        vectors=vectors,
        rasters={name: raster for name, raster in rasters.items() if not noticed[name].is_stopped},
        findings=_findings([*read.noticed.values(), *tables.noticed.values(), earlier]),
        inputs=read_digests(season, [*files, *raster_files]),
        weather=tables.weather,
        station_normals=tables.station_normals,
        yearly_climate=tables.yearly_climate,
    )


def _working_crs(infestations: LayerDraft | None, season: Season) -> CRS:
    if infestations is None or infestations.crs is None:
        return choose_working_crs(np.array([]), np.array([]), season)
    return choose_working_crs(*first_points_deg(geometries(infestations.frame), infestations.crs), season)


def _link(drafts: dict[str, LayerDraft]) -> None:
    visits, releases = drafts.get("visits"), drafts.get("releases")
    if visits is None or visits.is_stopped or (releases is not None and releases.is_stopped):
        return
    link_visits(visits, releases)


def _read_rasters(season: Season) -> tuple[dict[str, RasterLayer], dict[str, Noticed], list[Path]]:
    given = season.settings.layers.given()
    rasters: dict[str, RasterLayer] = {}
    noticed: dict[str, Noticed] = {}
    files: list[Path] = []
    for name in RASTER_LAYERS:
        if name not in given:
            continue
        of_layer = noticed[name] = Noticed(name)
        raster, read = describe_raster(season, given[name], of_layer)
        files.extend(read)
        if raster is not None and not of_layer.is_stopped:
            rasters[name] = raster
    return rasters, noticed, files


def _findings(noticed: Iterable[Noticed]) -> tuple[Finding, ...]:
    """Return all findings; of many features with the same trouble the first, and how many more there are."""
    return tuple(first_of_each((finding for layer in noticed for finding in layer.findings), FIRST))
