"""What the outcomes of past releases say of the score that each site would have had then."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import pandas as pd

from geo_scout.model.layers import InputFile
from geo_scout.model.season import Season

Conclusion = Literal["none", "better", "worse", "chance"]

ALL, DISTRICTS, LATER = "all releases", "district by district", "later releases"
"""The splits: nothing held out; each district held out in turn; trained on the earlier half."""
MEASURED, SEARCHED = "every measure known", "searched enough either way"
"""Splits without what may mislead: scores in which a missing measure counts as the worst; releases found by
visits that would not have told a failure."""

SCORE, NEAREST, LARGEST, RANDOM = "score", "nearest to a crew base", "largest infested area", "by lot"

FEWEST_OF_EACH = 10
"""Established and failed releases below which nothing is concluded. Our choice: the intervals were tried on
drawn cases of about as many."""
WIDEST_HALF_SHARE = 0.1
"""How far from one half the ends of an interval may lie where "no better than chance" is a conclusion; also
half the width of an interval that would settle it [share]. Our choice."""
CHECK_SHARE = 0.8
"""A split bears a conclusion out where its interval of this confidence lies on the same side of one half: by
chance one in ten does [share]. Our choice."""
ERROR_SHARE = 0.05
"""How often the score may be praised or blamed by chance; the other rules share it among them [share]."""

AS_OF_COLUMNS = ("score", "score_low", "score_high", "crew_distance_km", "infested_ha")
"""What a site was worth on the day of its release, besides its criteria."""
CASE_COLUMNS = (
    "agent",
    "release_id",
    "release_date",
    "district",
    "label",
    "reason",
    "reason_words",
    "visited",
    "told_on",
    "missed_share",
    "arrived_share",
    "site_id",
    *AS_OF_COLUMNS,
)
SKILL_COLUMNS = (
    "agent",
    "rule",
    "split",
    "release_count",
    "established_count",
    "missing_count",
    "auc_share",
    "auc_low_share",
    "auc_high_share",
    "confidence_share",
    "brier",
    "brier_of_share",
    "conclusion",
)
CALIBRATION_COLUMNS = (
    "release_count",
    "established_count",
    "chance_share",
    "observed_share",
    "observed_low_share",
    "observed_high_share",
)
WEIGHT_COLUMNS = (
    "agent",
    "criterion",
    "weight_now_share",
    "weight_share",
    "weight_low_share",
    "weight_high_share",
    "positive_share",
)


@dataclass(frozen=True)
class Assessment:
    """How well one agent's releases were told beforehand.

    Parameters
    ----------
    agent
        Name of the agent.
    skill
        One row per rule and split, columns ``SKILL_COLUMNS``: AUC with its interval, Brier score of the
        chance fitted on the training part, and the Brier score of who always tells that part's share; nan
        where there is none. ``conclusion`` stands with the split "all releases" only.
    calibration
        What was told, held out, of the score against what came about, columns ``CALIBRATION_COLUMNS``.
    calibration_split
        By which split; "" where none was possible.
    conclusion
        Of the score: none possible, better or worse than chance, or no better than chance by a known margin.
    established, failed
        Releases that are used, by outcome.
    needed_more
        About how many more releases that tell would narrow the interval to `WIDEST_HALF_SHARE`, with at least
        `FEWEST_OF_EACH` of each outcome, at the share seen; 0 where there are enough, None where only one
        outcome was seen, so that no share is known.
    against
        Splits that do not bear out what all releases together show of the score.
    incomplete
        Scores of used releases in which a missing measure counts at the least it can be.
    searched
        Used releases whose visits would have told either outcome.
    weights
        Suggested weights, columns ``WEIGHT_COLUMNS``; no rows where none are suggested.
    weights_note
        How they were made, or why there are none.
    """

    agent: str
    skill: pd.DataFrame
    calibration: pd.DataFrame
    calibration_split: str
    conclusion: Conclusion
    established: int
    failed: int
    needed_more: int | None
    against: tuple[str, ...]
    incomplete: int
    searched: int
    weights: pd.DataFrame
    weights_note: str


@dataclass(frozen=True)
class Backtest:
    """Past releases, their sites scored as of their days, and how well that told their outcomes.

    Parameters
    ----------
    season
        The season whose criteria are tried.
    cases
        One row per release, columns ``CASE_COLUMNS``, then per criterion its measure and its value on its
        curve (nan missing).
    assessments
        One per agent.
    hindsight
        What the scores were made with and without, a sentence each.
    inputs
        Files that were read.
    """

    season: Season
    cases: pd.DataFrame
    assessments: tuple[Assessment, ...]
    hindsight: tuple[str, ...]
    inputs: tuple[InputFile, ...]

    @property
    def has_cases(self) -> bool:
        """Whether any release could be used."""
        return any(one.established + one.failed for one in self.assessments)

    def unvisited(self, agent: str) -> int:
        """Return how many releases of an agent nobody has looked after."""
        return int(((self.cases["agent"] == agent) & (self.cases["visited"] == "no")).sum())

    def reasons(self, agent: str) -> Mapping[str, int]:
        """Return how many releases of an agent have each reason."""
        counts = self.cases.loc[self.cases["agent"] == agent, "reason"].value_counts()
        return {str(reason): int(number) for reason, number in counts.items()}
