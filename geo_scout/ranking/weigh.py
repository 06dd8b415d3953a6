"""Weights of one ranking from what the season states: direct, by order, by judgements, in groups."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.combining import normalise_weights
from geo_scout.formulas.pairwise_comparison import (
    ACCEPTED_RATIO,
    InconsistentJudgement,
    most_inconsistent,
    pairwise_weights,
    reciprocal_matrix,
)
from geo_scout.formulas.weights import grouped_weights, rank_order_centroid
from geo_scout.model.criteria import Criterion
from geo_scout.model.weighing import ConsistencyNote, DoubtfulJudgement, Weighing
from geo_scout.model.weighing_settings import Judgement, RoleWeights, Weighed

DIRECT = "as stated with each criterion"
BY_ORDER = "by order of importance (rank-order centroid)"
BY_JUDGEMENTS = "by comparing two at a time (principal eigenvector)"


@dataclass(frozen=True)
class _Shares:
    """Weights of names that are weighed together, and where they come from."""

    shares: NDArray[np.float64]
    how: str
    consistency: tuple[ConsistencyNote, ...] = ()


def weigh(criteria: Mapping[str, Criterion], stated: RoleWeights | None = None) -> Weighing:
    """Return the weights of one ranking.

    Parameters
    ----------
    criteria
        Criteria in use, by name.
    stated
        How the season states the weights; None where each criterion states its own.

    Notes
    -----
    In groups the weight of a criterion is that of its group times its share inside the group. An order or
    judgements take the place of direct weights, for the groups or inside one group.
    """
    direct = {name: criterion.weight for name, criterion in criteria.items()}
    if stated is None:
        return Weighing(_named(criteria, normalise_weights(list(direct.values()))), how=DIRECT)
    if stated.groups:
        return _weigh_groups(direct, stated)
    found = _shares(list(criteria), stated, direct, stated.random_index)
    places = _places(list(criteria), stated)
    return Weighing(
        weights=_named(criteria, found.shares),
        how=found.how,
        ranks_of_importance=None if places is None else dict(zip(criteria, places, strict=True)),
        consistency=found.consistency,
    )


def _weigh_groups(direct: Mapping[str, float], stated: RoleWeights) -> Weighing:
    groups = list(stated.groups)
    between = _shares(
        groups, stated, {name: one.weight for name, one in stated.groups.items()}, stated.random_index
    )
    if between.how == DIRECT:
        between = _Shares(between.shares, "as stated with each group")
    inside: dict[str, float] = {}
    ways: dict[str, list[str]] = {}
    notes = list(between.consistency)
    for name, group in stated.groups.items():
        own = _shares(list(group.criteria), group, direct, stated.random_index, about=name)
        inside |= dict(zip(group.criteria, own.shares.tolist(), strict=True))
        if len(group.criteria) > 1:
            ways.setdefault(own.how, []).append(name)
        notes += own.consistency
    number_of = {member: at for at, one in enumerate(stated.groups.values()) for member in one.criteria}
    weights = grouped_weights(
        [number_of[name] for name in direct], between.shares, [inside[name] for name in direct]
    )
    return Weighing(
        weights=_named(direct, weights),
        groups={name: group.criteria for name, group in stated.groups.items()},
        how="; ".join([f"groups {between.how}", *_inside(ways)]),
        consistency=tuple(notes),
        group_weights=dict(zip(groups, between.shares.tolist(), strict=True)),
    )


def _inside(ways: Mapping[str, Sequence[str]]) -> list[str]:
    """Return how criteria are weighed inside their groups, each way once."""
    if len(ways) == 1 and len(next(iter(ways.values()))) > 1:
        return [f"inside each {how}" for how in ways]
    return [f"inside {', '.join(groups)} {how}" for how, groups in ways.items()]


def _shares(
    names: Sequence[str], stated: Weighed, direct: Mapping[str, float], table: str, about: str = ""
) -> _Shares:
    places = _places(names, stated)
    if places is not None:
        return _Shares(rank_order_centroid(places), BY_ORDER)
    if stated.judgements is not None:
        return _judged(names, stated.judgements, table, about)
    return _Shares(normalise_weights([direct[name] for name in names]), DIRECT)


def _places(names: Sequence[str], stated: Weighed) -> list[int] | None:
    """Return the place of each name, equal ones sharing the first they fill; None without an order."""
    if stated.order is None:
        return None
    place_of: dict[str, int] = {}
    place = 1
    for together in stated.order:
        place_of |= dict.fromkeys(together, place)
        place += len(together)
    return [place_of[name] for name in names]


def _judged(names: Sequence[str], judgements: Sequence[Judgement], table: str, about: str) -> _Shares:
    number = {name: at for at, name in enumerate(names)}
    matrix = reciprocal_matrix(
        len(names),
        [number[one.more] for one in judgements],
        [number[one.than] for one in judgements],
        [one.times for one in judgements],
    )
    found = pairwise_weights(matrix, table)
    note = ConsistencyNote(
        about=about,
        names=tuple(names),
        weights=tuple(found.weights.tolist()),
        table=table,
        random_index=found.random_index,
        lambda_max=found.lambda_max,
        consistency_index=found.consistency_index,
        ratio=found.consistency_ratio,
        accepted_up_to=ACCEPTED_RATIO,
        doubtful=_doubtful(names, judgements, most_inconsistent(matrix, table)),
    )
    return _Shares(found.weights, BY_JUDGEMENTS, (note,))


def _doubtful(
    names: Sequence[str], judgements: Sequence[Judgement], worst: InconsistentJudgement | None
) -> DoubtfulJudgement | None:
    """Return the least consistent judgement the way round the season file states it."""
    if worst is None:
        return None
    pair = {names[worst.first], names[worst.second]}
    own = next(one for one in judgements if {one.more, one.than} == pair)
    is_turned = own.more != names[worst.first]
    return DoubtfulJudgement(
        more=own.more,
        than=own.than,
        times=own.times,
        implied=1 / worst.implied if is_turned else worst.implied,
        mended=1 / worst.mended_on_scale if is_turned else worst.mended_on_scale,
        ratio_after=worst.ratio_after,
        equally_far=worst.equally_far,
    )


def _named(names: Mapping[str, object], shares: NDArray[np.float64]) -> dict[str, float]:
    return dict(zip(names, shares.tolist(), strict=True))
