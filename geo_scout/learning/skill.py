"""How well one rule told the outcomes: by all releases, and by parts of them that may tell another story."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.area_intervals import chance_interval
from geo_scout.formulas.area_within_groups import area_within_groups
from geo_scout.formulas.ranking_skill import AreaUnderCurve, brier_score
from geo_scout.learning.splits import chance_of_share, chance_of_value, held_out, later_part
from geo_scout.model.backtest import (
    ALL,
    CHECK_SHARE,
    DISTRICTS,
    ERROR_SHARE,
    LATER,
    MEASURED,
    SEARCHED,
)
from geo_scout.model.outcomes import MISSED_AT_MOST_SHARE

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Cases:
    """Releases that are used, each column (n,).

    Parameters
    ----------
    established
        Whether each established; the others failed.
    district
        Its district; "" outside every district.
    day
        Its day.
    measured
        Whether every measure behind its score was known.
    searched
        Whether its visits would have told either outcome.
    """

    established: NDArray[np.bool_]
    district: NDArray[np.object_]
    day: NDArray[np.datetime64]
    measured: NDArray[np.bool_]
    searched: NDArray[np.bool_]

    @classmethod
    def of(cls, used: pd.DataFrame) -> "Cases":
        """Return the columns of the used rows of a case table."""
        return cls(
            (used["label"] == "established").to_numpy(dtype=np.bool_),
            used["district"].to_numpy(dtype=object),
            used["release_date"].to_numpy().astype("datetime64[D]"),
            (used["score_low"] == used["score_high"]).to_numpy(dtype=np.bool_),
            (used["missed_share"] <= MISSED_AT_MOST_SHARE).to_numpy(dtype=np.bool_),
        )

    def only(self, rows: NDArray[np.bool_]) -> "Cases":
        """Return some of them."""
        return Cases(
            self.established[rows],
            self.district[rows],
            self.day[rows],
            self.measured[rows],
            self.searched[rows],
        )

    @property
    def all_measured(self) -> "Cases":
        """The same for a rule that is one measure: what it does not know is left out anyway."""
        return replace(self, measured=np.ones(len(self.day), dtype=np.bool_))


@dataclass(frozen=True)
class Skill:
    """How well one rule did by one split.

    Parameters
    ----------
    split
        Which.
    missing
        Releases the rule says nothing of; they are left out.
    confidence
        Of the interval of the area [share].
    area
        Area under the curve with its interval; nan where no pair is compared.
    check
        The same with the interval by which a split bears a conclusion out; None where the split leaves
        nothing out and sets nothing apart, and for the later releases, of which that is not asked.
    count, successes
        Releases asked about, and those of them that established.
    brier, brier_of_share
        Of the chances that were fitted without the releases they are for, and of who always tells the share
        of those it was fitted on; nan where nothing was held out [share^2].
    chance, established
        (k,) those chances, and what came about [share].
    """

    split: str
    missing: int
    confidence: float
    area: AreaUnderCurve
    check: AreaUnderCurve | None
    count: int
    successes: int
    brier: float
    brier_of_share: float
    chance: FloatArray
    established: NDArray[np.bool_]


@dataclass(frozen=True)
class _Split:
    """One way of holding out.

    Parameters
    ----------
    name
        Its name.
    asked
        (n,) releases whose outcomes are told.
    group
        (n,) only pairs of one group are compared.
    part
        (n,) parts that are held out in turn; one part: nothing is held out.
    """

    name: str
    asked: NDArray[np.bool_]
    group: NDArray[np.object_]
    part: NDArray[np.object_]

    @property
    def is_check(self) -> bool:
        """Whether it may tell another story than all releases together, and is asked to."""
        is_parted = len(set(self.group)) > 1 or not self.asked.all()
        return is_parted and self.name not in (ALL, LATER)


def measure_skill(value: FloatArray, cases: Cases, confidence: float = 1 - ERROR_SHARE) -> list[Skill]:
    """Return how well a rule told the outcomes, split by split.

    Parameters
    ----------
    value
        (n,) what the rule says of each release, higher for what it would choose; nan where it says nothing.
    cases
        The releases.
    confidence
        Of the interval over all releases; the others are of 95 % [share].

    Notes
    -----
    A rule fits nothing, so its area over all releases needs no training part. District by district, only
    pairs of one district count, so that what differs from district to district, who looked among them, says
    nothing; the Brier score is of chances fitted on the other districts. The later releases are told by
    chances fitted on the earlier ones. A missing measure counts as the worst in a score, so a score may tell
    how much was known; and a find needs less searching than a failure, so how much was searched may tell the
    outcome: each is looked at without.
    """
    known = ~np.isnan(value)
    missing, told, value = int((~known).sum()), cases.only(known), value[known]
    skills = []
    for split in _splits(told):
        asked = split.asked
        sure = confidence if split.name == ALL else 1 - ERROR_SHARE
        of_split = (value[asked], told.established[asked], split.group[asked])
        area = area_within_groups(*of_split, sure)
        check = area_within_groups(*of_split, CHECK_SHARE) if split.is_check else None
        skills.append(_skill(split, missing, sure, area, check, value, told))
    return skills


def measure_lot(cases: Cases) -> list[Skill]:
    """Return how well drawing by lot does: an area of 0.5, and where it comes to lie 95 times in a hundred.

    Parameters
    ----------
    cases
        The releases. The chance that goes with it is the share of the training part.
    """
    value = np.zeros(len(cases.established))
    skills = []
    for split in _splits(cases):
        established, group = cases.established[split.asked], split.group[split.asked]
        area = area_within_groups(value[split.asked], established, group)
        count = pd.DataFrame({"group": group, "some": established, "none": ~established})
        count = count.groupby("group")[["some", "none"]].sum()
        both = count[(count["some"] > 0) & (count["none"] > 0)]
        if len(both):
            low, high = chance_interval(both["some"].to_numpy(), both["none"].to_numpy())
            area = replace(area, standard_error=np.nan, low=low, high=high)
        skills.append(_skill(split, 0, 1 - ERROR_SHARE, area, None, value, cases))
    return skills


def _splits(cases: Cases) -> tuple[_Split, ...]:
    every, later = np.ones(len(cases.established), dtype=np.bool_), later_part(cases.day)
    one = np.full(len(later), "", dtype=object)
    half = np.where(later, "later", "earlier").astype(object)
    return (
        _Split(ALL, every, one, one),
        _Split(DISTRICTS, every, cases.district, cases.district),
        _Split(LATER, later, one, half),
        _Split(MEASURED, cases.measured, one, one),
        _Split(SEARCHED, cases.searched, one, one),
    )


def _skill(
    split: _Split,
    missing: int,
    confidence: float,
    area: AreaUnderCurve,
    check: AreaUnderCurve | None,
    value: FloatArray,
    cases: Cases,
) -> Skill:
    chance = held_out(value, cases.established, split.part, chance_of_value)
    share = held_out(value, cases.established, split.part, chance_of_share)
    asked = split.asked & ~np.isnan(chance)
    outcome = cases.established[asked]
    return Skill(
        split=split.name,
        missing=missing,
        confidence=confidence,
        area=area,
        check=check,
        count=int(split.asked.sum()),
        successes=int(cases.established[split.asked].sum()),
        brier=brier_score(chance[asked], outcome).score,
        brier_of_share=brier_score(share[asked], outcome).score,
        chance=chance[asked],
        established=outcome,
    )
