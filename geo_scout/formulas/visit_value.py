"""What a scouting visit is worth: how much better the season does for knowing what it finds."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammainc, gammaincc

FloatArray = NDArray[np.float64]

SAME = 1e-9
"""Differences of value up to this are none: rounding must not make a decision [the value's unit]."""


@dataclass(frozen=True)
class VisitOutcomes:
    """What a visit to each of n sites may find, and what using the site is then worth.

    Parameters
    ----------
    chance
        (n, Y) chance of each outcome, rows sum to one [share].
    gain
        (n, Y) what using the site is worth after each outcome, less what the same day yields elsewhere; the
        gain without a visit where the outcome has no chance [payoff].
    unseen
        (n,) the same without a visit: the mean of the gains, or 0 where the site is closed until a visit
        opens it [payoff].
    """

    chance: FloatArray
    gain: FloatArray
    unseen: FloatArray

    def __len__(self) -> int:
        """Return the number of sites."""
        return len(self.unseen)

    def at(self, rows: NDArray[np.intp]) -> "VisitOutcomes":
        """Return the outcomes of some sites."""
        return VisitOutcomes(self.chance[rows], self.gain[rows], self.unseen[rows])


def weigh_outcomes(
    state_share: ArrayLike, payoff: ArrayLike, seen_share: ArrayLike, elsewhere: float
) -> VisitOutcomes:
    """Return the chance of each outcome of a visit, and the gain from using the site after it.

    Parameters
    ----------
    state_share
        (n, S) chance of each state of the site before the visit, rows sum to one [share].
    payoff
        (n, S) what using the site yields in each state [payoff].
    seen_share
        (n, S, Y) chance of each outcome in each state; the last axis sums to one [share].
    elsewhere
        What the same effort yields elsewhere [payoff].

    Returns
    -------
    VisitOutcomes
        Gains are E[payoff | outcome] - elsewhere, by Bayes' rule [payoff].

    Examples
    --------
    A source that is there with one chance in three fills four releases, a day elsewhere 1.5; a visit finds it
    there six times in ten:

    >>> found = weigh_outcomes([[2 / 3, 1 / 3]], [[0, 4]], [[[1, 0], [0.4, 0.6]]], 1.5)
    >>> found.chance.round(2).tolist(), found.gain.round(2).tolist(), found.unseen.round(2).tolist()
    ([[0.8, 0.2]], [[-0.83, 2.5]], [-0.17])
    """
    share = np.asarray(state_share, dtype=np.float64)
    gain = np.asarray(payoff, dtype=np.float64) - elsewhere
    joint = share[..., np.newaxis] * np.asarray(seen_share, dtype=np.float64)
    chance = joint.sum(axis=1)
    unseen = (share * gain).sum(axis=1)
    weighted = (joint * gain[..., np.newaxis]).sum(axis=1)
    after = np.broadcast_to(unseen[:, np.newaxis], chance.shape).copy()
    np.divide(weighted, chance, out=after, where=chance > 0)
    return VisitOutcomes(chance, after, unseen)


def chance_after(state_share: ArrayLike, seen_share: ArrayLike) -> FloatArray:
    """Return the chance of the last state after each outcome, by Bayes' rule.

    Parameters
    ----------
    state_share
        (n, S) chance of each state before the visit [share].
    seen_share
        (n, S, Y) chance of each outcome in each state [share].

    Returns
    -------
    numpy.ndarray
        (n, Y); the chance before where the outcome has none [share].

    Examples
    --------
    Occupied with one chance in two, and not found by a visit that finds it six times in ten: 0.2 / 0.7.

    >>> chance_after([[0.5, 0.5]], [[[1, 0], [0.4, 0.6]]]).round(4).tolist()
    [[0.2857, 1.0]]
    """
    share = np.asarray(state_share, dtype=np.float64)
    joint = share[..., np.newaxis] * np.asarray(seen_share, dtype=np.float64)
    chance = joint.sum(axis=1)
    after = np.broadcast_to(share[:, -1:], chance.shape).copy()
    np.divide(joint[:, -1], chance, out=after, where=chance > 0)
    return after


def visit_worth(outcomes: VisitOutcomes, hurdle: ArrayLike = 0.0) -> FloatArray:
    """Return the expected value of what a visit finds, for one yes-or-no decision about the site.

    Parameters
    ----------
    outcomes
        Of n sites.
    hurdle
        Gain that the site must pass to be used: 0 where nothing else is displaced, else the gain of the site
        that would be used in its place; (n,) or (n, K) for K cases [payoff].

    Returns
    -------
    numpy.ndarray
        Sum over outcomes of P(y) max(0, gain_y - hurdle), less max(0, unseen - hurdle), in the shape of the
        hurdle; 0 exactly where no outcome changes the decision, and never below 0 [payoff].

    Notes
    -----
    It is summed as the loss that the visit saves: where the site would be used, P(y) (hurdle - gain_y) over
    the outcomes that speak against it; where it would not, P(y) (gain_y - hurdle) over those for it. Both are
    the same number, since the gains have the mean ``unseen``, and no difference of large numbers is taken. A
    site that is closed until a visit opens it is not used unseen, so only the second sum counts.

    References
    ----------
    Raiffa, H. & Schlaifer, R. 1961. Applied Statistical Decision Theory: expected value of sample information
    (from memory).

    Examples
    --------
    The source of `weigh_outcomes`: 0.2 x (4 - 1.5); with two chances in three it is used whatever is found.

    >>> states, seen = [[2 / 3, 1 / 3], [1 / 3, 2 / 3]], [[[1, 0], [0.4, 0.6]]] * 2
    >>> visit_worth(weigh_outcomes(states, [[0, 4]] * 2, seen, 1.5)).round(6).tolist()
    [0.5, 0.0]
    """
    limit = np.asarray(hurdle, dtype=np.float64)
    limit = np.broadcast_to(limit, (len(outcomes),)) if limit.ndim == 0 else limit
    cases = (slice(None),) + (np.newaxis,) * (limit.ndim - 1)
    is_used = outcomes.unseen[cases] > limit
    worth = np.zeros(limit.shape)
    for chance, gain in zip(outcomes.chance.T, outcomes.gain.T, strict=True):
        over = gain[cases] - limit
        regret = np.where(is_used, -over, over)
        worth += chance[cases] * np.where(regret > SAME, regret, 0.0)
    return np.where(worth > SAME, worth, 0.0)


def most_worth(outcomes: VisitOutcomes, least_hurdle: ArrayLike, most_hurdle: ArrayLike) -> FloatArray:
    """Return the most that a visit can be worth for any hurdle in a range, which bounds any mean over them.

    Parameters
    ----------
    outcomes
        Of n sites.
    least_hurdle, most_hurdle
        Ends of the range, broadcast to (n,) [payoff].

    Returns
    -------
    numpy.ndarray
        (n,) the largest `visit_worth` over the range [payoff].

    Notes
    -----
    As the hurdle rises, the worth changes at the rate [unseen > hurdle] - P(gain > hurdle): it rises up to
    hurdle = unseen and falls from there. So its largest value in a range is at the point nearest to unseen.
    """
    return visit_worth(outcomes, np.clip(outcomes.unseen, least_hurdle, most_hurdle))


def misread_shares(few_per_hour: float, enough_per_hour: float, hours: float) -> tuple[float, float]:
    """Return how often a count takes few for enough, and enough for few.

    Parameters
    ----------
    few_per_hour, enough_per_hour
        Agents a person finds in an hour where there are few, and where there are enough [1/hour].
    hours
        Person-hours of the visit [hours].

    Returns
    -------
    tuple of float
        Share of the places with few that are called enough, and of those with enough called few [share].

    Notes
    -----
    Counts are Poisson, and the more likely of the two is said: enough from the count
    (enough - few) hours / ln(enough / few) on (Neyman & Pearson's ratio with even odds).

    Examples
    --------
    One against four: from 3 / ln 4 = 2.16, that is 3 agents on, "enough" is said.

    >>> [round(one, 4) for one in misread_shares(1.0, 4.0, 1.0)]
    [0.0803, 0.2381]
    """
    few, enough = few_per_hour * hours, enough_per_hour * hours
    if few == 0:  # whoever finds any knows that there are more than none
        return 0.0, float(np.exp(-enough))
    from_count = np.ceil((enough - few) / np.log(enough / few))
    # The chance of a Poisson count of k or more is the lower incomplete gamma function of k.
    return float(gammainc(from_count, few)), float(gammaincc(from_count, enough))
