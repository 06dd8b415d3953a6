"""A table of visits that says only which release each one looked at: the places are those of the releases."""

from dataclasses import replace

import numpy as np

from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.drafts import LayerDraft, Why, geometries
from geo_scout.layers.noticed import LayerRefused, Noticed
from geo_scout.layers.opening.sources import Cells, Fault
from geo_scout.layers.places.uncertainty import UNCERTAINTY
from geo_scout.layers.wording import counted, folded

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
    ids = [folded(text) for text in releases.texts("release_id")]
    row_of = {text: row for row, text in enumerate(ids)}
    at = np.array([row_of.get(folded(text), -1) for text in written], dtype=np.intp)
    twice = {text for text in row_of if ids.count(text) > 1} if len(row_of) < len(ids) else set()
    placed = (at >= 0) & np.array([folded(text) not in twice for text in written], dtype=bool)
    points = np.full(len(written), None, dtype=object)
    points[placed] = geometries(releases.frame)[at[placed]]
    number = counted(int(placed.sum()), "visit")
    what = f"the table has no positions, so those of the releases named were used for {number}."
    noticed.say("visits-placed", "note", what, "Add positions if visits were made elsewhere.")
    columns = dict(cells.columns)
    if UNCERTAINTY not in matched:
        matched[UNCERTAINTY] = UNCERTAINTY
        stated_m = releases.frame[UNCERTAINTY].to_numpy(dtype=np.float64)
        columns[UNCERTAINTY] = np.full(len(written), np.nan)
        columns[UNCERTAINTY][placed] = stated_m[at[placed]]
    lost = ~placed
    sentences = tuple(_why_lost(text, folded(text) in twice) for text in written[lost])
    faults = (*cells.faults, Fault(lost, NOWHERE, sentences))
    return replace(cells, columns=columns, geometry=points, faults=faults)


def _why_lost(text: str, is_twice: bool) -> str:
    if not text:
        return "it has no position and names no release."
    if is_twice:
        return f"it has no position, and several releases are called '{text}'."
    return f"it has no position, and release_id '{text}' is no release in use."
