"""How sure a rank is: what share of the draws puts a site at a rank, among the first, before the next."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.rank_draws import (
    Combine,
    EligibleOfDraws,
    RankDraws,
    ValuesOfDraws,
    eligible_block,
    order_keys,
    places_among_equals,
    value_blocks,
    weighted_sums,
)

FloatArray = NDArray[np.float64]
RowArray = NDArray[np.int64]

LOW_PCT, HIGH_PCT = 5, 95


@dataclass(frozen=True)
class RankIntervals:
    """Ranks of some sites over the draws in which each is eligible.

    Parameters
    ----------
    rows
        (s,) rows of the sites, rising.
    least, low, high, greatest
        (s,) the best rank, those that 5 % and 95 % of its draws do not pass, and the worst. A rank of which
        is only known that it is beyond the ranks counted is K + 1 for K ranks counted; a site that is never
        eligible has 0.
    """

    rows: RowArray
    least: RowArray
    low: RowArray
    high: RowArray
    greatest: RowArray


def top_share(found: RankDraws, tops: Sequence[int]) -> FloatArray:
    """Return in what share of the draws each site is among the first so many.

    Parameters
    ----------
    found
        Ranks of D draws of n sites.
    tops
        (t,) numbers of sites, each from 1 to the ranks counted, or the number of sites if that is less.

    Returns
    -------
    numpy.ndarray
        (n, t) share of all draws; a draw in which a site is not eligible counts against it [share].

    Raises
    ------
    ValueError
        A number lies outside the ranks counted.

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> found = rank_draws(np.eye(3), [[0.6, 0.3, 0.1], [0.1, 0.6, 0.3]])
    >>> top_share(found, [1, 2]).tolist()
    [[0.5, 0.5], [0.5, 1.0], [0.0, 0.5]]
    """
    counts = np.empty((found.sites, len(tops)))
    for column, top in enumerate(tops):
        _check_rank(found, top)
        # No more ranks than sites, so a longer list holds all of them.
        counts[:, column] = _times(found.leaders[:, :top], found.sites)
    return counts / found.draws


def rank_shares(found: RankDraws, rows: ArrayLike) -> FloatArray:
    """Return the acceptability of every rank that was counted, for some sites.

    Parameters
    ----------
    found
        Ranks of D draws of n sites, K ranks of which were counted.
    rows
        (s,) rows of the sites.

    Returns
    -------
    numpy.ndarray
        (s, K) b_ir, the share of the draws in which site i is eligible and has rank r [share]. With all ranks
        counted a row sums to the share of the draws in which the site is eligible, and column r of all sites
        to the share of the draws with at least r eligible sites.

    References
    ----------
    Lahdelma, R. & Salminen, P. 2001. SMAA-2. Operations Research 49: 444-454: the rank acceptability index
    (from memory).

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> found = rank_draws(np.eye(3), [[0.6, 0.3, 0.1], [0.1, 0.6, 0.3]])
    >>> rank_shares(found, [0, 2]).tolist()
    [[0.5, 0.0, 0.5], [0.0, 0.5, 0.5]]
    """
    wanted = np.asarray(rows, dtype=np.int64).reshape(-1)
    line_of = np.full(found.sites + 1, -1)
    line_of[wanted] = np.arange(len(wanted))
    ranks = found.leaders.shape[1]
    counts = np.zeros((len(wanted), ranks))
    for rank in range(ranks):
        lines = line_of[found.leaders[:, rank]]
        counts[:, rank] = np.bincount(lines[lines >= 0], minlength=len(wanted))
    # A site asked for twice has one line of counts, which both get.
    return np.asarray(counts[line_of[wanted]] / found.draws, dtype=np.float64)


def leader_intervals(found: RankDraws) -> RankIntervals:
    """Return the rank interval of every site that is ever among the ranks counted.

    Parameters
    ----------
    found
        Ranks of D draws, K ranks of which were counted.

    Returns
    -------
    RankIntervals
        Exact up to rank K; K + 1 stands for every rank beyond.

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> found = rank_draws(np.eye(3), [[0.6, 0.3, 0.1], [0.1, 0.6, 0.3]], deepest=2)
    >>> spans = leader_intervals(found)
    >>> spans.rows.tolist(), spans.least.tolist(), spans.greatest.tolist()
    ([0, 1, 2], [1, 1, 2], [3, 2, 3])
    """
    ranks = found.leaders.shape[1]
    # Short whole numbers sort in half the time.
    kind = np.dtype("int32" if found.sites * ranks < np.iinfo(np.int32).max else "int64")
    codes = (np.asarray(found.leaders, dtype=kind) * ranks + np.arange(ranks, dtype=kind)).ravel()
    codes = codes[codes >= 0]
    codes.sort()
    rows, starts, counts = np.unique(codes // ranks, return_index=True, return_counts=True)
    eligible = found.eligible_draws[rows]

    def at_draw(number: RowArray) -> RowArray:
        """Return the rank at this place, from 1, in the site's ranks from best to worst."""
        inside = codes[starts + np.minimum(number, counts) - 1] % ranks + 1
        return np.asarray(np.where(number <= counts, inside, ranks + 1), dtype=np.int64)

    return RankIntervals(
        rows,
        at_draw(np.ones_like(rows)),
        at_draw(_place(LOW_PCT, eligible)),
        at_draw(_place(HIGH_PCT, eligible)),
        at_draw(eligible),
    )


def followed_intervals(found: RankDraws) -> RankIntervals:
    """Return the rank interval of each site that was followed, exact however deep.

    Parameters
    ----------
    found
        Ranks of D draws with followed sites.

    Returns
    -------
    RankIntervals
        In the order in which the sites were followed.

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> found = rank_draws(np.eye(3), [[0.6, 0.3, 0.1], [0.1, 0.6, 0.3]], deepest=1, followed=[2, 0])
    >>> followed_intervals(found).greatest.tolist()
    [3, 3]
    """
    ordered = np.sort(found.followed_rank, axis=0)
    eligible = found.eligible_draws[found.followed]
    ineligible = found.draws - eligible

    def at_draw(number: RowArray) -> RowArray:
        """Return the rank at this place in the ranks from best to worst; 0 where there is none."""
        line = np.minimum(ineligible + number - 1, found.draws - 1)
        return np.where(eligible > 0, np.take_along_axis(ordered, line[np.newaxis], axis=0)[0], 0)

    return RankIntervals(
        found.followed,
        at_draw(np.ones_like(eligible)),
        at_draw(_place(LOW_PCT, eligible)),
        at_draw(_place(HIGH_PCT, eligible)),
        at_draw(eligible),
    )


def central_weights(found: RankDraws, weights: ArrayLike, rows: ArrayLike, *, top: int = 1) -> FloatArray:
    """Return the weights that speak for a site: the mean of those with which it is first, or among the first.

    Parameters
    ----------
    found
        Ranks of D draws.
    weights
        (D, k) the weights of these draws [share].
    rows
        (s,) rows of the sites.
    top
        1 for the central weights of SMAA-2; more where a site need only be on a list of so many.

    Returns
    -------
    numpy.ndarray
        (s, k) rows sum to 1; nan where the site never is [share].

    References
    ----------
    Lahdelma, R. & Salminen, P. 2001. SMAA-2. Operations Research 49: 444-454: the central weight vector
    (from memory).

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> draws = np.array([[0.6, 0.3, 0.1], [0.1, 0.6, 0.3], [0.8, 0.1, 0.1]])
    >>> central_weights(rank_draws(np.eye(3), draws), draws, [0, 2]).round(3).tolist()
    [[0.7, 0.2, 0.1], [nan, nan, nan]]
    """
    _check_rank(found, top)
    weight_rows, wanted = np.asarray(weights, dtype=np.float64), np.asarray(rows, dtype=np.int64).reshape(-1)
    leading = found.leaders[:, :top].ravel()
    is_site = leading >= 0
    times = _times(leading, found.sites)[wanted]
    central = np.full((len(wanted), weight_rows.shape[1]), np.nan)
    for column, weight in enumerate(weight_rows.T):
        total = np.bincount(
            leading[is_site], np.repeat(weight, min(top, found.leaders.shape[1]))[is_site], found.sites
        )
        np.divide(total[wanted], times, out=central[:, column], where=times > 0)
    return central


def confidence(
    values: ArrayLike | ValuesOfDraws,
    central: ArrayLike,
    rows: ArrayLike,
    draws: int,
    *,
    top: int = 1,
    eligible: ArrayLike | EligibleOfDraws | None = None,
    tie_order: ArrayLike | None = None,
    combine: Combine | None = None,
) -> FloatArray:
    """Return how sure a site is to be first, or among the first, when its own central weights are used.

    Parameters
    ----------
    values, eligible, tie_order, combine
        As in `rank_draws`. With one table of values and one eligibility there is nothing to draw: the answer
        is 0 or 1.
    central
        (s, k) central weights of each site, nan where it has none [share].
    rows
        (s,) rows of the sites.
    draws
        How many draws of values, the first ones.
    top
        As in `central_weights`.

    Returns
    -------
    numpy.ndarray
        (s,) share of the draws; nan for a site without central weights [share]. A low one says that even the
        weights most in its favour do not make up for what is unknown about the data.

    References
    ----------
    Lahdelma, R. & Salminen, P. 2001. SMAA-2. Operations Research 49: 444-454: the confidence factor (from
    memory).

    Examples
    --------
    >>> confidence(np.eye(3), [[0.7, 0.2, 0.1]], [0], 1).tolist()
    [1.0]
    """
    weight_rows, wanted = np.asarray(central, dtype=np.float64), np.asarray(rows, dtype=np.int64).reshape(-1)
    lines = np.flatnonzero(np.isfinite(weight_rows).all(axis=1))
    inside, score = np.zeros(len(wanted)), weighted_sums if combine is None else combine
    for first, last, block in value_blocks(values, np.zeros((draws, weight_rows.shape[1]))):
        sites = block.shape[1]
        places, usable = places_among_equals(tie_order, sites), eligible_block(eligible, first, last, sites)
        for line in lines:
            weights = np.broadcast_to(weight_rows[line], (last - first, weight_rows.shape[1]))
            keys = order_keys(score(block, weights, usable), places)
            own = keys[:, wanted[line], np.newaxis]
            is_ahead = keys < own if usable is None else (keys < own) & usable
            is_in = is_ahead.sum(axis=1) < top
            inside[line] += (is_in if usable is None else is_in & usable[:, wanted[line]]).sum()
    sure = np.full(len(wanted), np.nan)
    sure[lines] = inside[lines] / draws
    return sure


def beats_next(found: RankDraws) -> tuple[FloatArray, RowArray]:
    """Return how likely each followed site is to rank before the next one followed.

    Parameters
    ----------
    found
        Ranks of D draws; the sites were followed in the order of the plan's list.

    Returns
    -------
    tuple of numpy.ndarray
        (f - 1,) share of the draws that decide in which it ranks before the next [share], and how many draws
        decide: those in which at least one of the two is eligible; one that is not eligible loses. The share
        is nan where none decides.

    References
    ----------
    Leskinen, P. et al. 2006: the pairwise winning index (from memory).

    Examples
    --------
    >>> from geo_scout.formulas.rank_draws import rank_draws
    >>> found = rank_draws(np.eye(2), [[0.6, 0.4], [0.7, 0.3], [0.2, 0.8]], followed=[0, 1])
    >>> beats_next(found)[0].round(3).tolist()
    [0.667]
    """
    far = np.iinfo(np.int32).max
    rank = np.where(found.followed_rank == 0, far, found.followed_rank)
    first, second = rank[:, :-1], rank[:, 1:]
    decided = np.asarray((np.minimum(first, second) < far).sum(axis=0), dtype=np.int64)
    share = np.full(len(decided), np.nan)
    np.divide((first < second).sum(axis=0), decided, out=share, where=decided > 0)
    return share, decided


def _times(leading: NDArray[np.int32], sites: int) -> RowArray:
    """Return how often each site stands among these."""
    return np.bincount(leading[leading >= 0], minlength=sites)


def _place(pct: int, draws: RowArray) -> RowArray:
    """Return the place, from 1, of the rank that this percentage of the draws does not pass."""
    return np.asarray(np.maximum(1, -(-pct * draws // 100)), dtype=np.int64)


def _check_rank(found: RankDraws, rank: int) -> None:
    counted = found.leaders.shape[1]
    if rank < 1 or (rank > counted and counted < found.sites):
        message = f"the first {rank} were asked for, but ranks were counted from 1 to {counted}"
        raise ValueError(message)
