import datetime as dt

import pandas as pd

from geo_scout.ranking.window_columns import window_columns
from geo_scout.timing import site_windows
from tests.weather_frames import by_heat, from_day, temperatures, weather


def test_windows_become_columns_in_their_order():
    record = weather({"Ford": from_day("06-01", 20.0)}, "2015-01-01", "2026-12-31")
    windows = site_windows(by_heat(opens=95), temperatures(record), dt.date(2027, 5, 1), 14)
    table = window_columns(windows)
    assert list(table.columns) == [
        "window_kind", "window_scout", "window_opens", "window_peaks", "window_closes", "window_opens_early",
        "window_opens_late", "window_cool_shift_days", "window_warm_shift_days", "window_basis", "window_note",
    ]  # fmt: skip
    [row] = table.itertuples(index=False)
    assert (row.window_kind, row.window_opens) == ("degree-days", pd.Timestamp("2027-06-10"))
    assert row.window_closes is pd.NaT
    # 95 degree-days take 9.5 days at 10 a day, 10.56 at 9, 8.64 at 11.
    assert round(row.window_cool_shift_days, 2) == 1.06
    assert round(row.window_warm_shift_days, 2) == -0.86
