import datetime as dt

import numpy as np
import pytest

from geo_scout.model.site_windows import SiteWindows
from geo_scout.timing.week import PAST_PEAK, days_moved, weeks_of

# Monday of the week of 7 to 13 June 2027.
MONDAY, THURSDAY = dt.date(2027, 6, 7), dt.date(2027, 6, 10)


def windows(*dates):
    """Return windows with the dates of each place: scout, opens, peaks, closes; "" for none."""
    rows = [[f"2027-{day}" if day else "NaT" for day in place] for place in dates]
    nothing, text = np.full(len(rows), np.nan), np.full(len(rows), "", dtype=object)
    table = np.array(rows, dtype="datetime64[D]").T
    return SiteWindows(text, table, table[0], table[0], nothing, nothing, text, text)


@pytest.mark.parametrize(
    ("dates", "this_week", "next_week"),
    [
        (("05-27", "06-10", "06-20", "07-05"), "scout, opens 10 June", "open, peaks 20 June"),
        (("06-13", "06-27", "", ""), "scouting starts 13 June", "scout"),
        (
            ("06-07", "06-09", "06-12", "06-13"),
            "scouting starts 7 June, opens 9 June, peaks 12 June, closes 13 June",
            "",
        ),
        (("05-01", "05-15", "05-25", "06-14"), "open", "open, closes 14 June"),
        (("05-01", "05-15", "05-25", "06-06"), "", ""),
        (("05-01", "05-15", "05-25", ""), PAST_PEAK, PAST_PEAK),
        (("05-01", "05-15", "06-10", ""), "open, peaks 10 June", PAST_PEAK),
        (("05-01", "05-15", "", ""), "open", "open"),
        (("06-01", "06-28", "", ""), "scout", "scout"),
        (("07-01", "07-15", "", ""), "", ""),
        (("06-01", "", "", ""), "", ""),
        (("", "06-07", "", ""), "opens 7 June", "open"),
        (("", "", "", ""), "", ""),
    ],
)
def test_what_a_window_does_in_two_weeks(dates, this_week, next_week):
    found = weeks_of(windows(dates), THURSDAY)
    assert found.monday == MONDAY
    assert (found.this_week[0], found.next_week[0]) == (this_week, next_week)


def test_sunday_belongs_to_the_week_that_ends():
    assert weeks_of(windows(("", "", "", "")), dt.date(2027, 6, 13)).monday == MONDAY
    assert weeks_of(windows(("", "", "", "")), dt.date(2027, 6, 14)).monday == dt.date(2027, 6, 14)


def test_dates_move_earlier_and_later_and_a_missing_one_does_not():
    now = windows(("05-27", "06-10", "06-20", ""), ("", "", "", ""))
    before = windows(("05-30", "06-10", "06-15", "07-05"), ("", "06-10", "", ""))
    moved = days_moved(now.dates, before.dates)
    assert moved[:3, 0].tolist() == [-3.0, 0.0, 5.0]
    assert np.isnan(moved[3, 0])
    assert np.isnan(moved[:, 1]).all()
