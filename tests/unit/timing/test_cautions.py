import datetime as dt

import numpy as np

from geo_scout.model.setting import Sourced
from geo_scout.model.timing import Timing
from geo_scout.timing.cautions import season_cautions, with_cautions
from geo_scout.timing.windows import site_windows
from tests.weather_frames import by_heat, temperatures

JUNE = dt.date(2027, 6, 1)


def four(opens, closes):
    days = [["NaT"] * len(opens), opens, ["NaT"] * len(opens), closes]
    return np.array(days, dtype="datetime64[D]")


def test_windows_before_and_after_the_field_work_are_said():
    dates = four(
        ["2027-04-01", "2027-06-01", "2027-09-20", "NaT"], ["2027-04-20", "NaT", "2027-10-01", "NaT"]
    )
    assert season_cautions(dates, dt.date(2027, 5, 1), dt.date(2027, 9, 15)).tolist() == [
        "closes before the season starts (2027-05-01)",
        "",
        "opens after the season ends (2027-09-15)",
        "",
    ]
    assert season_cautions(dates, None, None).tolist() == [""] * 4


def test_cautions_come_after_what_the_note_says():
    windows = site_windows(by_heat(opens=95), temperatures(), JUNE, 14)
    timing = Timing(critical_daylength_hours=Sourced(value=20.0, source="invented"))
    noted = with_cautions(windows, timing, np.array([47.0]), JUNE)
    first, second = noted.note[0].split("; ", 1)
    assert first == "no temperatures for the heat sums here"
    assert second.startswith("the longest day at 47.0 degrees has 15.9")
    assert with_cautions(windows, Timing(), np.array([47.0]), JUNE).note[0] == first
