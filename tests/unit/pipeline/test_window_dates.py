"""Windows from a table and a profile, as the command line asks for them: 10 degree-days a day from 1 June on."""

import datetime as dt

import pandas as pd
import pytest

from geo_scout.model.layer_table import LayerTable
from geo_scout.pipeline import time_windows

PROFILE = """format = 1
name = "brindle beetle"
host = "brindlebell"

[establishment]
prior_share = 0.55

[timing.collecting.heat]
unit = "degc"
base = 10
method = "single_sine"
start = "01-01"
sums = {opens = 95, closes = 205}
"""


@pytest.fixture
def timed(tmp_path):
    """Return a function that gives the windows at Ford, 1,000 m."""
    (tmp_path / "beetle.toml").write_text(PROFILE, encoding="utf-8")
    days = pd.date_range("2015-01-01", "2026-12-31")
    warm = [20.0 if day >= "06-01" else 0.0 for day in days.strftime("%m-%d")]
    table = pd.DataFrame({"date": days.strftime("%Y-%m-%d"), "tmin": warm, "tmax": warm})
    table.assign(station="Ford", elevation_m=1000).to_csv(tmp_path / "weather.csv", index=False)

    def time(on, **given):
        weather = LayerTable(path=str(tmp_path / "weather.csv"))
        return time_windows(weather, str(tmp_path / "beetle.toml"), as_of=on, **given)

    return time


def test_after_its_closing_the_next_window_is_meant(timed):
    """205 degree-days are reached on the twenty-first day, 21 June."""
    during, after = timed(dt.date(2026, 6, 21)), timed(dt.date(2026, 6, 22))
    assert str(during.windows.dates[3, 0]) == "2026-06-21"
    assert str(after.windows.dates[3, 0]) == "2027-06-21"
    assert after.windows.note[0] == "the last window closed on 2026-06-21"


def test_the_elevation_asked_about_stands_behind_the_station(timed):
    assert timed(dt.date(2026, 5, 1), elevation_m=1500.0).stations == ("Ford, brought to 1500 m",)
    assert timed(dt.date(2026, 5, 1)).stations == ("Ford",)


def test_a_use_without_a_window_is_named_with_the_one_there_is(timed):
    assert timed(dt.date(2026, 5, 1), use="receptive").windows.note[0] == (
        "the profile has no window for --use receptive (timing.receptive); it has one for --use collecting"
    )
