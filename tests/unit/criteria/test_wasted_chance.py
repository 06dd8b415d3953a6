import numpy as np

from geo_scout.criteria import wasted_chance

COLUMNS = {
    "presence_share": np.array([0.62, 0.9, np.nan, 0.0]),
    "presence_low_share": np.array([0.4, 0.8, np.nan, 0.0]),
    "presence_high_share": np.array([0.75, 1.0, np.nan, 0.0]),
    "is_supplement": np.array([False, True, False, False]),
}


def test_measures_the_chance_that_agents_are_wasted_and_nothing_is_wasted_where_more_are_wanted():
    measured = wasted_chance.measure(COLUMNS)
    assert measured.column("wasted_chance") == "wasted_chance_share"
    assert measured.value[[0, 1, 3]].tolist() == [0.62, 0.0, 0.0]
    assert (measured.low[0], measured.high[0]) == (0.4, 0.75)
    assert measured.known.tolist() == [True, True, False, True]


def test_says_chance_range_and_why():
    measured = wasted_chance.measure(COLUMNS)
    assert [wasted_chance.describe(measured, index) for index in range(4)] == [
        "62 % (40 to 75 %) chance that the agents are wasted",
        "0 % chance that the agents are wasted: more agents are wanted where some live, so none are wasted",
        "chance that the agents are wasted unknown: the records say nothing of this patch",
        "0 % chance that the agents are wasted",
    ]
