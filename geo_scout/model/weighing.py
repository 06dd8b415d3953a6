"""The weights of one ranking, and how they came about."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class DoubtfulJudgement:
    """The judgement that agrees least with all of them together.

    Parameters
    ----------
    more, than
        The names that were compared, as the season file states them.
    times
        How many times as important as `than` `more` was said to be [1].
    implied
        The ratio of the weights that came out [1].
    mended
        The nearest value of the scale to what all the other judgements say of this pair [1].
    ratio_after
        Consistency ratio with the mended value in its place [1].
    equally_far
        How many judgements are as far off as this one.
    """

    more: str
    than: str
    times: float
    implied: float
    mended: float
    ratio_after: float
    equally_far: int


@dataclass(frozen=True)
class ConsistencyNote:
    """How well the judgements of one set of criteria, or of the groups, agree with each other.

    Parameters
    ----------
    about
        What is compared: "" for the criteria, or the groups, of the whole ranking, else the group's name.
    names
        What is compared, in the order of the weights.
    weights
        The weights that came out, summing to 1 [share].
    table
        Name of the table of random indices.
    random_index, lambda_max, consistency_index, ratio
        The figures behind the ratio, and the ratio [1].
    accepted_up_to
        Up to this ratio judgements agree well enough [1].
    doubtful
        The judgement that agrees least; None where all agree.
    """

    about: str
    names: tuple[str, ...]
    weights: tuple[float, ...]
    table: str
    random_index: float
    lambda_max: float
    consistency_index: float
    ratio: float
    accepted_up_to: float
    doubtful: DoubtfulJudgement | None = None

    @property
    def is_accepted(self) -> bool:
        """Whether the judgements agree well enough."""
        return self.ratio <= self.accepted_up_to


@dataclass(frozen=True)
class Weighing:
    """The weights of one ranking.

    Parameters
    ----------
    weights
        By criterion, summing to one [share].
    groups
        Criteria by group; empty without groups.
    how
        How the weights came about, in words.
    ranks_of_importance
        Place of each criterion, 1 for the most important, equal ones sharing a place; None where the season
        states no plain order of criteria.
    consistency
        One for each set of judgements.
    group_weights
        By group, summing to one; empty without groups [share].
    """

    weights: Mapping[str, float]
    groups: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    how: str = ""
    ranks_of_importance: Mapping[str, int] | None = None
    consistency: tuple[ConsistencyNote, ...] = ()
    group_weights: Mapping[str, float] = field(default_factory=dict)
