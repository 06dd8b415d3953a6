"""What is still true of older surveys: the newest survey wins where they overlap."""

from collections.abc import Iterator

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.inner_places import inner_places
from geo_scout.model.finding import Finding
from geo_scout.model.rows import each_row
from geo_scout.sites.ground import only_ground


def keep_current(
    infestations: gpd.GeoDataFrame, surveyed_areas: gpd.GeoDataFrame | None
) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Return the infestations of one host with superseded ground removed.

    A survey removes older cover inside it, whether it found the host or not. Where two
    infestations overlap, the newer keeps the ground; on the same day, the one first in the file.
    An undated survey is older than every dated one.

    Parameters
    ----------
    infestations
        Polygons of one host in a planar CRS [m], with ``survey_date``, ``result`` and ``row``.
    surveyed_areas
        Polygons with ``survey_date``, already of this host or of every host; None without the layer.

    Returns
    -------
    tuple
        The infestations that keep any ground, in file order, and one finding for each that lost
        all of it.
    """
    is_present = (infestations["result"] != "none found").to_numpy()
    day = _days(infestations["survey_date"])
    shapes = infestations.geometry.to_numpy()
    takers, taker_days, is_rival = [shapes], [day], [is_present]
    if surveyed_areas is not None and len(surveyed_areas):
        takers.append(surveyed_areas.geometry.to_numpy())
        taker_days.append(_days(surveyed_areas["survey_date"]))
        is_rival.append(np.zeros(len(surveyed_areas), dtype=bool))
    all_takers = np.concatenate(takers)
    pairs = _taking(shapes, day, all_takers, np.concatenate(taker_days), np.concatenate(is_rival))
    kept = shapes.copy()
    for loser, winners in pairs:
        left = shapely.difference(shapes[loser], shapely.union_all(all_takers[winners]))
        kept[loser] = only_ground(left, shapes[loser])
    has_ground = ~shapely.is_empty(kept)
    lost = infestations[is_present & ~has_ground]
    current = infestations.assign(geometry=kept)[is_present & has_ground]
    return current.reset_index(drop=True), _superseded(lost)


def _taking(
    shapes: NDArray[np.object_],
    day: NDArray[np.int64],
    takers: NDArray[np.object_],
    taker_day: NDArray[np.int64],
    is_rival: NDArray[np.bool_],
) -> Iterator[tuple[int, NDArray[np.intp]]]:
    """Yield each shape that loses ground with the takers it loses it to.

    Takers start with the shapes themselves; a rival of the same day takes ground if it comes
    first, any other taker only if it is newer.
    """
    loser, winner = shapely.STRtree(takers).query(shapes, predicate="intersects")
    newer = taker_day[winner] > day[loser]
    earlier_rival = is_rival[winner] & (taker_day[winner] == day[loser]) & (winner < loser)
    takes = newer | earlier_rival
    loser, winner = loser[takes], winner[takes]
    order = np.lexsort((winner, loser))
    loser, winner = loser[order], winner[order]
    losers, starts = np.unique(loser, return_index=True)
    for one, winners in zip(losers, np.split(winner, starts[1:]), strict=False):
        yield int(one), winners


def _days(dates: pd.Series) -> NDArray[np.int64]:
    days = dates.to_numpy(dtype="datetime64[D]")
    return np.where(np.isnat(days), np.iinfo(np.int64).min, days.astype(np.int64))


def _superseded(lost: gpd.GeoDataFrame) -> list[Finding]:
    inside = gpd.GeoSeries(inner_places(lost.geometry.to_numpy()), crs=lost.crs).to_crs(4326)
    places = zip(each_row(lost), inside.x, inside.y, strict=True)
    findings = []
    for row, longitude_deg, latitude_deg in places:
        when = "undated" if pd.isna(row.survey_date) else f"of {row.survey_date:%Y-%m-%d}"
        findings.append(
            Finding(
                code="superseded",
                grade="note",
                layer="infestations",
                feature=row.id or f"row {row.row}",
                what=f"the survey {when} lies wholly inside newer ones, or earlier rows of its day.",
                fix="Nothing to do if those surveys are right.",
                longitude_deg=longitude_deg,
                latitude_deg=latitude_deg,
            )
        )
    return findings
