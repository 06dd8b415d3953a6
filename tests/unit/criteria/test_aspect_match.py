import numpy as np
import pytest

from geo_scout.criteria import aspect_match


def measure(aspect, strength=1.0, share=1.0, preferred=180.0):
    given = {
        "aspect_deg": aspect, "aspect_strength": strength, "aspect_share": share, "preferred_aspect_deg": preferred,
    }  # fmt: skip
    return aspect_match.measure({name: np.array([float(one)]) for name, one in given.items()})


@pytest.mark.parametrize(
    ("aspect", "strength", "share", "expected"),
    [
        (180.0, 1.0, 1.0, 1.0), (0.0, 1.0, 1.0, -1.0), (270.0, 1.0, 1.0, 0.0), (120.0, 1.0, 1.0, 0.5),
        (180.0, 0.5, 1.0, 0.5),  # two slopes 60 deg to either side of the preferred way
        (180.0, 1.0, 0.25, 0.25),  # three quarters are flat
        (np.nan, np.nan, 0.0, 0.0),  # all flat
        (np.nan, 0.0, 1.0, 0.0),  # a round hill
    ],
)  # fmt: skip
def test_the_mean_cosine_over_the_ground(aspect, strength, share, expected):
    assert measure(aspect, strength, share).value[0] == pytest.approx(expected)


def test_it_is_the_mean_over_cells_worked_out_one_by_one():
    aspects, preferred = np.array([10.0, 350.0, 100.0, np.nan]), 30.0
    cosines = [np.cos(np.radians(one - preferred)) for one in aspects[:3]] + [0.0]
    east, north = np.sin(np.radians(aspects[:3])).sum(), np.cos(np.radians(aspects[:3])).sum()
    found = measure(np.degrees(np.arctan2(east, north)) % 360, np.hypot(east, north) / 3, 3 / 4, preferred)
    assert found.value[0] == pytest.approx(np.mean(cosines))


@pytest.mark.parametrize("preferred", [0.0, 360.0])
def test_north_is_0_and_360(preferred):
    assert measure(359.0, preferred=preferred).value[0] == pytest.approx(np.cos(np.radians(1.0)))


def test_without_a_preference_or_a_slope_it_is_missing():
    unwilling, bare = measure(180.0, preferred=np.nan), measure(np.nan, np.nan, np.nan)
    assert not unwilling.known[0]
    assert not bare.known[0]
    assert aspect_match.describe(unwilling, 0) == "aspect not compared: the agent's profile prefers no aspect"
    assert aspect_match.describe(bare, 0) == "aspect not compared: no slope in the elevation layer here"


def test_words_and_columns():
    measured = measure(200.0, 0.8)
    assert aspect_match.describe(measured, 0) == (
        "0.75 towards the preferred aspect (1 wholly, -1 away): the ground faces 200 deg with strength 0.80"
    )
    assert aspect_match.describe(measure(np.nan, 0.0), 0) == (
        "0.00 towards the preferred aspect: the ground faces no way more than others"
    )
    assert measured.column("aspect_match") == "aspect_match"
    assert set(measured.details) == {"aspect_deg", "aspect_strength", "aspect_share"}
