"""Whether the agent crosses the way from the nearest confirmed population."""

import numpy as np

from geo_scout.evidence.gaps import cross_gaps

DISTANCES_KM = np.array([0.0, 3.0, 3.1, 9.0, np.nan])


def test_the_widest_gap_it_is_known_to_cross_decides(frames):
    spread = frames.agent(spread={"largest_gap_km": 3.0, "max_spread_km": 20.0}).spread
    assert cross_gaps(DISTANCES_KM, spread).tolist() == ["yes", "yes", "no", "no", ""]


def test_else_the_farthest_it_spreads(frames):
    spread = frames.agent(spread={"max_spread_km": 8.0}).spread
    assert cross_gaps(DISTANCES_KM, spread).tolist() == ["yes", "yes", "yes", "no", ""]


def test_without_either_it_is_not_known_but_in_the_patch_itself(frames):
    crossed = cross_gaps(DISTANCES_KM, frames.agent().spread)
    assert crossed.tolist() == ["yes", "not known", "not known", "not known", ""]


def test_a_widest_gap_of_nothing_is_a_widest_gap(frames):
    spread = frames.agent(spread={"largest_gap_km": 0.0, "max_spread_km": 20.0}).spread
    assert cross_gaps(DISTANCES_KM, spread).tolist() == ["yes", "no", "no", "no", ""]
