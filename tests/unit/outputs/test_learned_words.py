import numpy as np
import pandas as pd

from geo_scout.model.learned import Learned
from geo_scout.outputs.learned_words import tell_learned
from geo_scout.outputs.timing_words import CAUTION
from geo_scout.season import read_shipped_profiles
from tests.weather_frames import heat

AGENT = next(one for one in read_shipped_profiles() if one.name == "Aphthona lacertosa")


def learned(rows, *, is_enough=True, errors=(), seasons=(), heats=(100.0, 135.0, 220.0)):
    table = pd.DataFrame(rows, columns=["station", "date", "count", "heat_year", "degree_days"])
    table["date"] = pd.to_datetime(table["date"])
    return Learned(table, is_enough, *heats, np.array(errors), tuple(seasons))


def tell(found):
    return tell_learned(AGENT, heat(), found).splitlines()


NINE = [("Ford", f"2023-06-{day:02}", 5, 2023, 90.0 + day) for day in range(10, 14)] + [
    ("Ford", f"2024-06-{day:02}", 5, 2024, 190.0 + day) for day in range(10, 15)
]


def test_every_visit_is_listed_and_an_unknown_heat_said():
    lines = tell(
        learned(
            [("Ford", "2023-06-01", 0, 2023, 88.4), ("Ford", "2024-06-10", 12, 0, np.nan)], is_enough=False
        )
    )
    assert lines[0] == "Aphthona lacertosa: heat above 10 degC, single sine, from 01-01"
    assert lines[2:5] == [
        "  day             caught degree-days  weather of Ford",
        "  2023-06-01           0          88",
        "  2024-06-10          12     unknown",
    ]
    assert (
        lines[6]
        == "0 catches with a known heat are too few to learn from; 8 are needed. They are only listed."
    )
    assert lines[-1] == CAUTION


def test_one_catch_is_too_few_in_good_grammar():
    lines = tell(learned([("Ford", "2023-06-01", 3, 2023, 88.4)], is_enough=False))
    assert "1 catch with a known heat is too few to learn from; 8 are needed. They are only listed." in lines


def test_range_brackets_errors_and_what_to_write():
    rows = [("Ford", "2023-05-20", 0, 2023, 60.0), ("Ford", "2023-05-28", 0, 2023, 82.0), *NINE,
            ("Ford", "2024-07-20", 0, 2024, 320.0)]  # fmt: skip
    lines = tell(learned(rows, errors=[5.0, -7.0], seasons=[("Ford", 2023), ("Ford", 2024)]))
    assert lines[-8:-1] == [
        "n = 9 catches in 2 years: from 100 to 220 degree-days (degC).",
        "Half of a year's catch, by the numbers caught, is in at 135 (mean of 2 seasons).",
        "The first appeared between 82 (none caught) and 100 (degC).",
        "The last went between 220 and 320 (none caught).",
        "The day by which half of a year's catch is in, predicted from the other years: off by 6.0 days on "
        "average (2023: +5 days, 2024: -7 days).",
        "To use them, write into your own profile: sums = {opens = 100, peaks = 135}. The first may have come "
        "unseen. The last one caught is no closing: add closes = N, the sum at which you want collecting to end.",
        "",
    ]


def test_without_a_zero_nobody_knows_the_ends():
    lines = tell(learned(NINE, errors=[np.nan, 2.0], seasons=[("Ford", 2023), ("Ford", 2024)]))
    assert "No visit caught none, so nobody knows how much earlier they begin or later they end." in lines
    assert (
        "The day by which half of a year's catch is in, predicted from the other years: off by 2.0 days on "
        "average (2023: not reached, 2024: +2 days)." in lines
    )


def test_one_year_says_nothing_of_another():
    lines = tell(learned(NINE[:4] * 2, errors=[np.nan], seasons=[("Ford", 2023)]))
    assert "All catches are of one year, so nothing can be said of how well they predict another." in lines


def test_several_stations_are_listed_and_named_each():
    rows = NINE[:4] + [("Pass", f"2024-06-{day}", 1, 2024, 200.0) for day in range(10, 15)]
    lines = tell(learned(rows, errors=[1.0, 2.0], seasons=[("Ford", 2023), ("Pass", 2024)]))
    assert sum("weather of" in line for line in lines) == 2
    assert any("(2023 at Ford: +1 days, 2024 at Pass: +2 days)" in line for line in lines)
