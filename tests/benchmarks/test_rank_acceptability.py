"""Ranks of many sites under many weights: only what is asked is counted, against a plain loop that sorts everything."""

import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pytest
from threadpoolctl import threadpool_limits

from geo_scout.formulas.combining import rank_by_score, weighted_sum
from geo_scout.formulas.rank_acceptability import (
    RankIntervals,
    beats_next,
    central_weights,
    followed_intervals,
    leader_intervals,
    rank_shares,
    top_share,
)
from geo_scout.formulas.rank_draws import RankDraws, rank_draws
from geo_scout.formulas.weight_draws import weights_around

SITES, CRITERIA, DRAWS = 100_000, 8, 10_000
LISTED, TOPS = 200, (10, 50, 200, 1_000)
PLAIN_DRAWS = 100
MOST_MB = 1_500


@pytest.fixture(scope="module")
def case(scale: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return values that hang together as those of real sites do, weights around given ones, and the plan's list."""
    random = np.random.default_rng(1)
    sites, draws = max(5_000, int(SITES * scale)), max(200, int(DRAWS * scale))
    shared = random.normal(size=(sites, 1))
    values = 1 / (1 + np.exp(-0.5 * shared - random.normal(size=(sites, CRITERIA))))
    given = np.array([5, 4, 3, 3, 2, 2, 1, 1])
    weights = weights_around([f"criterion {n}" for n in range(CRITERIA)], given, 30, draws, 1)
    listed = np.argsort(-weighted_sum(values, given / given.sum()), kind="stable")[:LISTED]
    return values, weights, listed


def seconds(run: Callable[[], object]) -> float:
    """Return the processor's seconds with one thread: other work and threads that wait do not count."""
    with threadpool_limits(1):
        start = time.process_time()
        run()
        return time.process_time() - start


def count_all(
    values: np.ndarray, weights: np.ndarray, listed: np.ndarray
) -> tuple[RankDraws, np.ndarray, RankIntervals]:
    """Count what a season asks for."""
    found = rank_draws(values, weights, followed=listed)
    shares, spans = top_share(found, TOPS), leader_intervals(found)
    rank_shares(found, listed)
    central_weights(found, weights, spans.rows)
    followed_intervals(found)
    beats_next(found)
    return found, shares, spans


def count_plainly(
    values: np.ndarray, weights: np.ndarray, listed: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Sort all sites in every draw; intervals, histograms and the like are left to do."""
    in_top = np.zeros((len(values), len(TOPS)), dtype=np.int64)
    ranks = np.empty((len(weights), len(listed)), dtype=np.int64)
    central, first = np.zeros_like(values), np.zeros(len(values), dtype=np.int64)
    place, rank = np.arange(1, len(values) + 1), np.empty(len(values), dtype=np.int64)
    for draw, weight in enumerate(weights):
        order = np.argsort(-np.floor(values @ weight * 1e6 + 0.5).astype(np.int64), kind="stable")
        for column, top in enumerate(TOPS):
            in_top[order[:top], column] += 1
        central[order[0]] += weight
        first[order[0]] += 1
        rank[order] = place
        ranks[draw] = rank[listed]
    return in_top, ranks


def test_counting_what_is_asked_beats_sorting_everything(case, scale):
    values, weights, listed = case
    kept, timed = [], []
    some = weights[:: max(1, len(weights) // PLAIN_DRAWS)][:PLAIN_DRAWS]
    # Small cases are over so soon that other work on the machine shows: taken in turn, the fastest of each.
    for _ in range(1 if scale >= 1 else 5):
        ours = seconds(lambda: kept.append(count_all(values, weights, listed)))
        plain = seconds(lambda: count_plainly(values, some, listed))
        timed.append((ours, plain * len(weights) / len(some)))
    ours, plain = (min(column) for column in zip(*timed, strict=True))
    found, shares, spans = kept.pop()
    ratio = plain / ours
    print(
        f"\n{len(values):,} sites x {CRITERIA} criteria x {len(weights):,} draws: {ours:.2f} s, {len(spans.rows):,} sites "
        f"ever among the first 1,000; a loop of argsort, {len(some)} draws measured and multiplied up: {plain:.1f} s, "
        f"ratio {ratio:.1f}"
    )
    np.testing.assert_allclose(shares.sum(axis=0), np.minimum(TOPS, len(values)), rtol=1e-9)
    names = [f"{row:06}" for row in range(len(values))]
    for draw in range(0, len(weights), len(weights) // 5):
        rank = rank_by_score(weighted_sum(values, weights[draw]), names)
        assert rank[found.leaders[draw]].tolist() == list(range(1, 1_001))
        assert found.followed_rank[draw].tolist() == rank[listed].tolist()
    # 9 at full size beside other work; 2.5 at a tenth, where the first 1,000 are a tenth of all.
    assert ratio > (6 if scale >= 1 else 1.2)


def test_memory_stays_small(case):
    """Half the draws: what is kept grows with them, so it is doubled; the chunks do not grow."""
    values, weights, listed = case
    tracemalloc.start()
    count_all(values, weights[: len(weights) // 2], listed)
    peak_mb = 2 * tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    print(f"\n{len(values):,} sites x {len(weights):,} draws: peak at most {peak_mb:.0f} MB")
    assert peak_mb < MOST_MB
