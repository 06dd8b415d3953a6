"""The order of the sites under each draw of weights, of values and of who may be used at all; exact."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo_scout.formulas.combining import score_integer, weighted_sum

FloatArray = NDArray[np.float64]
RowArray = NDArray[np.int64]
ValuesOfDraws = Callable[[int, int], FloatArray]
EligibleOfDraws = Callable[[int, int], NDArray[np.bool_]]
Combine = Callable[[FloatArray, FloatArray, NDArray[np.bool_] | None], FloatArray]

DEEPEST = 1_000
"""Ranks that are counted one by one from the first."""
SORTED_WHOLE = 4_096
"""Up to so many sites, sorting all of them is quicker than finding the first ones."""
MOST_CLASSES = 2**16
"""Classes of approximate score, or about as many as sites; see the notes of `rank_draws`."""
MOST_BYTES = 32_000_000
_MOST_MILLIONTHS = 1_000_001


@dataclass(frozen=True)
class RankDraws:
    """Who leads in each draw, and where the sites that are followed stand.

    Parameters
    ----------
    leaders
        (D, K) int32 row of the site at rank 1 to K of each draw; -1 where fewer sites are eligible.
    followed
        (f,) rows of the sites that were followed.
    followed_rank
        (D, f) int32 rank of each of them in each draw, however deep; 0 where it is not eligible.
    eligible_draws
        (n,) in how many draws each site is eligible.
    """

    leaders: NDArray[np.int32]
    followed: RowArray
    followed_rank: NDArray[np.int32]
    eligible_draws: RowArray

    @property
    def draws(self) -> int:
        """Return the number of draws D."""
        return len(self.leaders)

    @property
    def sites(self) -> int:
        """Return the number of sites n."""
        return len(self.eligible_draws)


def rank_draws(
    values: ArrayLike | ValuesOfDraws,
    weights: ArrayLike,
    *,
    deepest: int = DEEPEST,
    followed: ArrayLike = (),
    eligible: ArrayLike | EligibleOfDraws | None = None,
    tie_order: ArrayLike | None = None,
    combine: Combine | None = None,
) -> RankDraws:
    """Return the first sites of every draw, and the rank in every draw of the sites that are followed.

    Parameters
    ----------
    values
        (n, k) values of the sites, the same in every draw; or a function of (first, last) that returns those
        of the draws first to last - 1, (last - first, n, k), always the same for the same draw: so an error
        that all sites share is drawn once per draw [0-1].
    weights
        (D, k) weights of each draw, rows sum to 1 [share].
    deepest
        How many ranks are kept from the first.
    followed
        (f,) rows of the sites whose rank is wanted however deep it is.
    eligible
        (n,) whether a site may be used, or a function of (first, last) that returns it by draw,
        (last - first, n); all may be used without it.
    tie_order
        (n,) place of each site among equals, all different, such as its place in the order of site_id; the
        order of the rows without it.
    combine
        How values and weights become scores, the weighted sum without it: a function of the values of some
        draws, (d, n, k) or (1, n, k) where they are the same in all, their weights, (d, k), and who may be
        used, (d, n) or None for all, that returns scores from 0 to 1, (d, n). All sites are then sorted
        whole, which takes long where there are many.

    Returns
    -------
    RankDraws
        Ranks of 1 and more, by floor(score x 1e6 + 0.5) and then by ``tie_order``, as everywhere.

    Raises
    ------
    ValueError
        Shapes do not go together, a value is missing or outside 0-1, or weights do not sum to 1. Missing
        values are to be put at their lower end first, which is how sites are ranked.

    Notes
    -----
    Many sites are first put into classes, 65,536 at most, by a score in single precision. That score and
    rounding to millionths are wrong by far less than half a class, so sites two classes apart are in the
    right order. Exact scores, those of `weighted_sum`, are worked out only for sites in or next to the class
    in which the last of the leaders or a followed site stands, and above; all others are counted by class.
    Nothing is approximate in the result. Memory is 4 bytes x D x (deepest + f), the values, and chunks of 32
    MB.

    Examples
    --------
    Three sites that are each best at one thing, and weights that favour each thing in turn:

    >>> found = rank_draws(np.eye(3), [[0.6, 0.3, 0.1], [0.1, 0.6, 0.3]], followed=[0])
    >>> found.leaders.tolist(), found.followed_rank.tolist()
    ([[0, 1, 2], [1, 2, 0]], [[1], [3]])
    """
    weight_rows = np.asarray(weights, dtype=np.float64)
    _check_weights(weight_rows)
    rows = np.asarray(followed, dtype=np.int64).reshape(-1)
    state: _Counting | None = None
    for first, last, block in value_blocks(values, weight_rows):
        if state is None:
            state = _Counting.begin(block.shape[1], len(weight_rows), deepest, rows, tie_order)
            state.combine = combine
        usable = eligible_block(eligible, first, last, state.sites)
        state.take(block, weight_rows[first:last], usable, first)
    if state is None:
        message = "there are no draws to rank sites in"
        raise ValueError(message)
    return RankDraws(state.leaders, rows, state.followed_rank, state.eligible_draws)


def places_among_equals(tie_order: ArrayLike | None, sites: int) -> RowArray:
    """Return the places of sites among equals, numbered from 0; the order of the rows without any.

    Raises
    ------
    ValueError
        The places are not one for each site and all different.
    """
    order = np.arange(sites) if tie_order is None else np.asarray(tie_order, dtype=np.int64)
    if len(order) != sites or len(np.unique(order)) != sites:
        message = f"the places among equals of {sites} sites are not all different"
        raise ValueError(message)
    places = np.empty(sites, dtype=np.int64)
    places[np.argsort(order)] = np.arange(sites)
    return places


def weighted_sums(
    tables: FloatArray, weights: FloatArray, usable: NDArray[np.bool_] | None = None
) -> FloatArray:
    """Return the weighted sum of every site in every draw, (d, n), by the arithmetic of `weighted_sum`.

    Who may be used, ``usable``, changes nothing here; other ways to combine may need it.
    """
    del usable
    score = np.zeros((len(weights), tables.shape[1]))
    for column in range(weights.shape[1]):
        score += tables[:, :, column] * weights[:, column, np.newaxis]
    return score


def order_keys(score: FloatArray, places: RowArray, sites: int | None = None) -> RowArray:
    """Return whole numbers that order sites: fewer is better, no two of one draw are equal.

    ``places`` are those among equals, below ``sites``, the number of sites if it is not stated.
    """
    steps = len(places) if sites is None else sites
    return np.asarray((_MOST_MILLIONTHS - score_integer(score)) * steps + places, dtype=np.int64)


@dataclass
class _Counting:
    """What has been found in the draws so far."""

    leaders: NDArray[np.int32]
    followed: RowArray
    followed_rank: NDArray[np.int32]
    eligible_draws: RowArray
    tie_order: RowArray
    classes: int
    combine: Combine | None = None

    @classmethod
    def begin(
        cls, sites: int, draws: int, deepest: int, rows: RowArray, ties: ArrayLike | None
    ) -> "_Counting":
        if deepest < 1 or ((rows < 0) | (rows >= sites)).any():
            message = f"a rank below 1 or a row outside the {sites} sites was asked for"
            raise ValueError(message)
        leaders = np.full((draws, min(deepest, sites)), -1, dtype=np.int32)
        places = places_among_equals(ties, sites)
        ranks = np.zeros((draws, len(rows)), dtype=np.int32)
        classes = min(MOST_CLASSES, 2 ** max(4, sites.bit_length() - 1))
        return cls(leaders, rows, ranks, np.zeros(sites, dtype=np.int64), places, classes)

    @property
    def sites(self) -> int:
        return len(self.tie_order)

    @property
    def nowhere(self) -> int:
        """Return the class of those that are not eligible: one is left free after the last."""
        return self.classes + 2

    def take(
        self, block: FloatArray, weights: FloatArray, usable: NDArray[np.bool_] | None, first: int
    ) -> None:
        """Take in some draws; ``block`` holds one table of values for all of them, or one for each."""
        self.eligible_draws += len(weights) if usable is None else usable.sum(axis=0)
        if self.sites > SORTED_WHOLE and self.combine is None:
            for row, approximate in enumerate(_in_classes(block, weights, self.classes)):
                classes = approximate.astype(np.int64)
                if usable is not None:
                    classes[~usable[row]] = self.nowhere
                self._find(block[row if len(block) > 1 else 0], weights[row], classes, first + row)
            return
        for chunk in _chunks(len(weights), 24 * self.sites):
            tables = block if len(block) == 1 else block[chunk]
            self._sort(tables, weights[chunk], None if usable is None else usable[chunk], first + chunk.start)

    def _sort(
        self, tables: FloatArray, weights: FloatArray, usable: NDArray[np.bool_] | None, first: int
    ) -> None:
        """Sort all sites of some draws."""
        combine = weighted_sums if self.combine is None else self.combine
        keys = order_keys(combine(tables, weights, usable), self.tie_order)
        end = np.full(len(keys), self.sites)
        if usable is not None:
            keys[~usable] = np.iinfo(np.int64).max
            end = usable.sum(axis=1)
        order = np.argsort(keys, axis=1)
        draws = slice(first, first + len(keys))
        leading = np.arange(self.leaders.shape[1]) < end[:, np.newaxis]
        self.leaders[draws] = np.where(leading, order[:, : self.leaders.shape[1]], -1)
        if len(self.followed):
            rank = np.empty_like(order)
            np.put_along_axis(rank, order, np.arange(1, self.sites + 1)[np.newaxis], axis=1)
            wanted = rank[:, self.followed]
            self.followed_rank[draws] = np.where(wanted <= end[:, np.newaxis], wanted, 0)

    def _find(self, table: FloatArray, weights: FloatArray, classes: RowArray, draw: int) -> None:
        """Find the leaders and the followed sites of one draw among many sites."""
        is_usable = classes[self.followed] != self.nowhere
        rows = self.followed[is_usable]
        near, far_above = self._split(classes, classes[rows])
        score = weighted_sum(table[near], weights)
        order = np.argsort(order_keys(score, self.tie_order[near], self.sites))
        ahead = near[order[: self.leaders.shape[1]]]
        self.leaders[draw, : len(ahead)] = ahead
        standing = np.empty(len(near), dtype=np.int64)
        standing[order] = np.arange(1, len(near) + 1)
        self.followed_rank[draw, is_usable] = far_above + standing[np.searchsorted(near, rows)]

    def _split(self, classes: RowArray, own: RowArray) -> tuple[RowArray, RowArray]:
        """Return the sites whose exact score is needed, and how many others are above each followed site."""
        # One more at the end, so that the class before the first and the one after the last can be marked.
        counts = np.bincount(classes, minlength=self.nowhere + 2)
        out, counts[self.nowhere] = counts[self.nowhere], 0
        up_to = np.cumsum(counts)
        usable = int(up_to[-1])
        # The highest class with K sites in it and above holds number usable - K + 1 from below.
        last_class = int(np.searchsorted(up_to, usable - min(self.leaders.shape[1], usable) + 1))
        floor = max(last_class - 1, 0)
        deep = own[own < floor]
        if not len(deep):
            is_needed = classes >= floor
            if out:
                is_needed &= classes != self.nowhere
            return np.flatnonzero(is_needed), np.zeros(len(own), dtype=np.int64)
        is_near = np.zeros(len(counts), dtype=bool)
        is_near[floor : self.nowhere] = True
        for step in (-1, 0, 1):
            is_near[deep + step] = True
        counts[is_near] = 0
        far_up_to = np.cumsum(counts)
        return np.flatnonzero(is_near.take(classes)), far_up_to[-1] - far_up_to[own]


def _in_classes(block: FloatArray, weights: FloatArray, classes: int) -> Iterator[NDArray[np.floating]]:
    """Yield the approximate score of every site, draw by draw, from 0 to the number of classes.

    What is yielded is overwritten later: fresh memory for every chunk costs more than the product.
    """
    # Single precision errs by 0.004 of a class for each criterion.
    kind = np.float32 if weights.shape[1] <= 50 else np.float64
    scaled = (weights * classes).astype(kind)
    if len(block) > 1:
        for table, weight in zip(block, scaled, strict=True):
            yield table.astype(kind) @ weight
        return
    table = np.ascontiguousarray(block[0].T, dtype=kind)
    space: NDArray[np.floating] | None = None
    for chunk in _chunks(len(weights), 4 * table.shape[1]):
        space = np.empty((chunk.stop, table.shape[1]), dtype=kind) if space is None else space
        yield from np.matmul(scaled[chunk], table, out=space[: chunk.stop - chunk.start])


def value_blocks(
    values: ArrayLike | ValuesOfDraws, weights: FloatArray
) -> Iterator[tuple[int, int, FloatArray]]:
    """Yield first draw, last draw and their tables of values: one for all, or one for each."""
    if not callable(values):
        table = np.asarray(values, dtype=np.float64)
        _check_values(table, (*table.shape[:1], weights.shape[1]))
        for chunk in _chunks(len(weights), len(table)):
            yield chunk.start, chunk.stop, table[np.newaxis]
        return
    first, step = 0, 1
    while first < len(weights):
        last = min(first + step, len(weights))
        block = np.asarray(values(first, last), dtype=np.float64)
        _check_values(block, (last - first, *block.shape[1:2], weights.shape[1]))
        yield first, last, block
        first, step = last, max(1, MOST_BYTES // max(1, block[0].nbytes))


def eligible_block(
    eligible: ArrayLike | EligibleOfDraws | None, first: int, last: int, sites: int
) -> NDArray[np.bool_] | None:
    """Return who may be used in some draws, (last - first, sites); None where all may."""
    if eligible is None:
        return None
    found = np.asarray(eligible(first, last) if callable(eligible) else eligible, dtype=bool)
    if found.shape not in {(sites,), (last - first, sites)}:
        message = f"eligibility of shape {found.shape} does not go with {last - first} draws of {sites} sites"
        raise ValueError(message)
    return np.broadcast_to(found, (last - first, sites))


def _chunks(draws: int, bytes_per_draw: int) -> Iterator[slice]:
    step = max(1, MOST_BYTES // 4 // max(1, bytes_per_draw))
    for first in range(0, draws, step):
        yield slice(first, min(first + step, draws))


def _check_values(values: FloatArray, shape: tuple[int, ...]) -> None:
    if values.shape != shape or 0 in values.shape:
        message = f"values of shape {values.shape} do not go with draws of shape {shape}"
        raise ValueError(message)
    if not ((values >= 0) & (values <= 1)).all():
        message = "a value is missing or outside 0-1; put a missing one at its lower end first"
        raise ValueError(message)


def _check_weights(weights: FloatArray) -> None:
    if weights.ndim != 2 or 0 in weights.shape:
        message = f"weights of shape {weights.shape} are not draws by criteria"
        raise ValueError(message)
    if not ((weights >= 0).all() and np.allclose(weights.sum(axis=1), 1, rtol=0, atol=1e-9)):
        message = "weights of a draw are negative, missing or do not sum to 1"
        raise ValueError(message)
