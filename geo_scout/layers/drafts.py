"""One vector layer while it is being read: the rows still in use, and why others were set aside."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.bad_features import BAD_TOLD, BadFeature, first_told, how_to_mend
from geo_scout.layers.noticed import Noticed
from geo_scout.model.finding import Finding, Grade
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed
from geo_scout.model.season import Season

Rows = NDArray[np.bool_]

ID_COLUMNS: dict[str, str] = {
    "infestations": "id",
    "surveyed_areas": "id",
    "releases": "release_id",
    "visits": "visit_id",
    "requests": "request_id",
    "treatments": "treatment_id",
}
FEWEST_FOR_ONE = 5
"""A layer of so many features may hold one bad one, whatever share that is; our choice."""
_PLACE_DECIMALS = 6
_HALF_TURN_DEG = 180.0


@dataclass(frozen=True, slots=True)
class Why:
    """Why a feature is remarked on or set aside.

    Parameters
    ----------
    code
        Stable name of the kind of finding.
    reason
        Two or three words for the counts by reason.
    fix
        What the user can do about it.
    grade
        Grade of the finding.
    is_bad
        Whether it counts towards ``rules.max_bad_share``.
    """

    code: str
    reason: str
    fix: str
    grade: Grade = "caution"
    is_bad: bool = True


@dataclass
class LayerDraft(Noticed):
    """One vector layer while it is being read.

    Parameters
    ----------
    table, season
        The layer's settings and the season they belong to.
    frame
        Rows still in use, index 0..n-1, with ``row``, our columns and the geometry.
    crs
        Reference system the geometry is in now; None while it is unknown.
    accuracy_m
        How far off every position may be because of a change of datum; 0 within a metre [m].
    considered
        Features that the share of bad ones is taken of.
    bad
        Bad features by reason.
    bad_told
        The first bad features of each reason: reason, label, sentence and fix.
    unread
        By column and row number, what is wrong with a cell that is filled and gave no value.
    """

    table: LayerTable = field(kw_only=True)
    season: Season = field(kw_only=True)
    frame: gpd.GeoDataFrame = field(kw_only=True, default_factory=gpd.GeoDataFrame)
    crs: CRS | None = field(kw_only=True, default=None)
    accuracy_m: float = field(kw_only=True, default=0.0)
    considered: int = 0
    bad: Counter[str] = field(default_factory=Counter)
    bad_told: list[BadFeature] = field(default_factory=list)
    unread: dict[str, dict[int, str]] = field(default_factory=dict)

    def texts(self, column: str) -> NDArray[np.object_]:
        """Return a column as an object array."""
        return self.frame[column].to_numpy(dtype=object)

    def labels(self, rows: Rows) -> list[str]:
        """Return the user's id of the chosen rows, or their row number."""
        numbers = [f"row {number}" for number in self.frame["row"].to_numpy()[rows]]
        column = ID_COLUMNS.get(self.name, "")
        if column not in self.frame:
            return numbers
        ids = self.texts(column)[rows]
        return [str(own) if own else number for own, number in zip(ids, numbers, strict=True)]

    def told(self, rows: Rows, noun: str) -> str:
        """Return how many rows are chosen and the first of their ids: "2 points (a, b)"."""
        return f"{counted(int(rows.sum()), noun)} ({listed(self.labels(rows), at_most=5)})"

    def remark(self, rows: Rows, why: Why, what: Sequence[str] | str) -> None:
        """Add one finding for each chosen row; ``what`` is one sentence for all or one each."""
        if not rows.any():
            return
        labels = self.labels(rows)
        sentences = [what] * len(labels) if isinstance(what, str) else what
        places = self._places_deg(rows)
        self.findings.extend(
            Finding(why.code, why.grade, self.name, label, sentence, why.fix, *place)
            for label, sentence, place in zip(labels, sentences, places, strict=True)
        )

    def set_aside(self, rows: Rows, why: Why, what: Sequence[str] | str) -> None:
        """Take the chosen rows out, each with its finding."""
        if not rows.any():
            return
        sentences = what if isinstance(what, str) else list(what)
        told = (
            f"Set aside: {sentences}"
            if isinstance(sentences, str)
            else [f"Set aside: {s}" for s in sentences]
        )
        self.remark(rows, why, told)
        if why.is_bad:
            self.bad[why.reason] += int(rows.sum())
            self._keep_told(rows, why, what)
        self.drop(rows)

    def _keep_told(self, rows: Rows, why: Why, what: Sequence[str] | str) -> None:
        first = np.flatnonzero(rows)[:BAD_TOLD]
        chosen = np.zeros(len(rows), dtype=bool)
        chosen[first] = True
        sentences = [what] * len(first) if isinstance(what, str) else what
        self.bad_told += [
            BadFeature(why.reason, label, sentence, why.fix)
            for label, sentence in zip(self.labels(chosen), sentences, strict=False)
        ]

    def drop(self, rows: Rows) -> None:
        """Take the chosen rows out without a word; the caller says why."""
        if rows.any():
            self.frame = self.frame.loc[~rows].reset_index(drop=True)

    def bears(self, bad: int, number: int) -> bool:
        """Return whether so many bad ones may be done without; one alone, of five or more, always may."""
        limit = self.season.rules.max_bad_share
        is_alone = bad <= 1 and number >= FEWEST_FOR_ONE and limit > 0.0
        return not number or bad / number <= limit or is_alone

    def stop_if_too_many_bad(self) -> None:
        """Stop the layer when the share of bad features is above the season's limit."""
        limit, bad = self.season.rules.max_bad_share, self.bad.total()
        if self.bears(bad, self.considered):
            return
        reasons = listed([f"{reason} ({number:,})" for reason, number in self.bad.most_common()])
        what = (
            f"{bad:,} of {counted(self.considered, 'feature')} ({100 * bad / self.considered:.1f} percent) "
            f"cannot be used; the limit is {100 * limit:g} percent (rules.max_bad_share): {reasons}."
        )
        shown = first_told(self.bad_told)
        told = " ".join(f"{one.label}: {one.sentence}" for one in shown)
        self.say("too-many-bad", "stop", f"{what} {told}", how_to_mend(shown, is_all=bad >= self.considered))

    def _places_deg(self, rows: Rows) -> list[tuple[float | None, float | None]]:
        nowhere: list[tuple[float | None, float | None]] = [(None, None)] * int(rows.sum())
        if self.crs is None or not len(self.frame):
            return nowhere
        bounds = shapely.bounds(geometries(self.frame)[rows])
        # A coordinate may be infinite: such a shape has no place, which is found out below.
        with np.errstate(over="ignore", invalid="ignore"):
            middle_x, middle_y = (bounds[:, 0] + bounds[:, 2]) / 2, (bounds[:, 1] + bounds[:, 3]) / 2
            width = bounds[:, 2] - bounds[:, 0]
        if self.crs.is_geographic:
            # An outline across the 180th meridian has bounds around the whole Earth.
            middle_x = np.where(width > _HALF_TURN_DEG, bounds[:, 2], middle_x)
        to_degrees = transformer_between(self.crs, CRS.from_epsg(4326))
        longitude_deg, latitude_deg = to_degrees.transform(middle_x, middle_y)
        is_place = np.isfinite(longitude_deg) & np.isfinite(latitude_deg) & (np.abs(latitude_deg) <= 90.0)
        return [
            # Nought is added so that none of them is a negative one.
            (round(float(east), _PLACE_DECIMALS) + 0.0, round(float(north), _PLACE_DECIMALS) + 0.0)
            if known
            else (None, None)
            for east, north, known in zip(longitude_deg, latitude_deg, is_place, strict=True)
        ]


def geometries(frame: gpd.GeoDataFrame) -> NDArray[Any]:
    """Return the geometry of a frame as an object array of shapely shapes."""
    return np.asarray(frame.geometry.to_numpy(), dtype=object)
