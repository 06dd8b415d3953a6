"""A table of visits that says only which release each one looked at: the places are those of the releases."""

from dataclasses import replace
from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.drafts import LayerDraft, Why, geometries
from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.opening.sources import Cells, Fault
from geo_scout.layers.places.uncertainty import UNCERTAINTY
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted

NOWHERE = Why("geometry-missing", "no position", "Give it a position, or the release_id of a release.")


def releases_in_use(releases: LayerDraft | None) -> LayerDraft:
    """Return the releases that visits without positions can be placed at.

    Raises
    ------
    LayerRefused
        There are none: the season has no such layer, or it stops.
    """
    if releases is None:
        what = "the table has no positions, and the season has no releases to place its visits at."
        fix = "Add [layers.releases]; or longitude_deg and latitude_deg to the table."
        raise LayerRefused(what, code="visits-unplaced", fix=fix)
    if releases.is_stopped or releases.crs is None:
        what = "the table has no positions, and the releases its visits would be placed at cannot be used."
        raise LayerRefused(what, code="visits-unplaced", fix="Mend the releases; the visits wait for them.")
    return releases


def place_at_releases(cells: Cells, matched: dict[str, str], releases: LayerDraft, noticed: Noticed) -> Cells:
    """Return the cells of visits with the point of its release for each row; the others are faults.

    Parameters
    ----------
    cells
        What was read, without shapes.
    matched
        Our column name -> the file's, ``release_id`` among them. The releases' uncertainty of position
        joins it where the file has none.
    releases
        The releases in use, each with a point.
    noticed
        Where it is said how many were placed.
    """
    written = as_texts(cells.columns[matched["release_id"]])
    at, twice = _rows_named(written, releases)
    placed = at >= 0
    points = np.full(len(written), None, dtype=object)
    points[placed] = geometries(releases.frame)[at[placed]]
    if placed.any():
        number = counted(int(placed.sum()), "visit")
        what = f"the table has no positions, so those of the releases named were used for {number}."
        noticed.say("visits-placed", "note", what, "Add positions if visits were made elsewhere.")
    columns = _with_uncertainty(cells, matched, releases, at)
    lost = ~placed
    sentences = tuple(_why_lost(text, folded(text) in twice) for text in written[lost])
    faults = (*cells.faults, Fault(lost, NOWHERE, sentences))
    return replace(cells, columns=columns, geometry=points, faults=faults)


def place_blanks(
    cells: Cells, crs: CRS | None, matched: dict[str, str], releases: LayerDraft | None, noticed: Noticed
) -> Cells:
    """Return the cells with the point of its release for each visit that names one and has no position.

    Parameters
    ----------
    cells
        What was read, with the shapes of the rows in ``crs``.
    crs
        The layer's reference system; without one nothing is placed.
    matched
        Our column name -> the file's, as in `place_at_releases`.
    releases
        The releases; None or stopped where there are none to place visits at.
    noticed
        Where it is said how many were placed.
    """
    if releases is None or releases.is_stopped or releases.crs is None or crs is None:
        return cells
    assert cells.geometry is not None
    blank = shapely.is_missing(cells.geometry) | shapely.is_empty(cells.geometry)
    for fault in cells.faults:
        blank &= ~fault.rows
    if "release_id" not in matched or not blank.any():
        return cells
    at, _ = _rows_named(as_texts(cells.columns[matched["release_id"]]), releases)
    at = np.where(blank, at, -1)
    placed = at >= 0
    if not placed.any():
        return cells
    there = gpd.GeoSeries(geometries(releases.frame)[at[placed]], crs=releases.crs).to_crs(crs)
    points = cells.geometry.copy()
    points[placed] = there.to_numpy()
    number = counted(int(placed.sum()), "visit")
    what = f"the position of the release named was used for {number} without one."
    noticed.say("visits-placed", "note", what, "Add positions if visits were made elsewhere.")
    return replace(cells, columns=_with_uncertainty(cells, matched, releases, at), geometry=points)


def _rows_named(written: NDArray[np.object_], releases: LayerDraft) -> tuple[NDArray[np.intp], set[str]]:
    """Return the row of the release that each text names, -1 for none or several, and those several."""
    ids = [folded(text) for text in releases.texts("release_id")]
    row_of = {text: row for row, text in enumerate(ids)}
    twice = {text for text in row_of if ids.count(text) > 1} if len(row_of) < len(ids) else set()
    names = [folded(text) for text in written]
    return np.array([-1 if one in twice else row_of.get(one, -1) for one in names], dtype=np.intp), twice


def _with_uncertainty(
    cells: Cells,
    matched: dict[str, str],
    releases: LayerDraft,
    at: NDArray[np.intp],
) -> dict[str, Any]:
    """Return the columns with the uncertainty of the releases, where the file has none of its own."""
    columns = dict(cells.columns)
    if UNCERTAINTY not in matched:
        matched[UNCERTAINTY] = UNCERTAINTY
        stated_m = releases.frame[UNCERTAINTY].to_numpy(dtype=np.float64)
        columns[UNCERTAINTY] = np.full(len(at), np.nan)
        columns[UNCERTAINTY][at >= 0] = stated_m[at[at >= 0]]
    return columns


def _why_lost(text: str, is_twice: bool) -> str:
    if not text:
        return "it has no position and names no release."
    if is_twice:
        return f"it has no position, and several releases are called '{text}'."
    return f"it has no position, and release_id '{text}' is no release in use."
