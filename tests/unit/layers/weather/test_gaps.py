import numpy as np

ROWS = [("2026-03-01", 0, 10), ("2026-03-02", 2, 12), ("2026-03-05", 8, 18), ("2026-03-06", 9, 19)]


def lows(weather):
    return weather.days.set_index("date")["tmin_degc"].tolist()


def test_a_gap_stays_open_unless_told_and_is_said(daily, said):
    weather, noticed = daily(ROWS)
    assert np.isnan(lows(weather)).tolist() == [False, False, True, True, False, False]
    assert said(noticed, "weather-gaps") == (
        "caution: days without temperatures: 2 at the station (first 2026-03-03); a year with one gives no date "
        "after it. | Find the days, or have a straight line drawn; the longest gap has 2 days: fill_gaps_days = 2"
    )


def test_a_gap_that_no_line_may_fill_says_so(daily, said):
    """From 1 March to 3 April 32 days lie between."""
    _, noticed = daily([("2026-03-01", 0, 10), ("2026-04-03", 2, 12)], fill_gaps_days=31)
    assert said(noticed, "weather-gaps").endswith(
        "| Find the days; the longest gap has 32 days, more than the 31 that may be filled."
    )


def test_days_that_are_missing_at_an_end_are_no_gap_to_fill(daily, said):
    _, noticed = daily([*ROWS[:2], ("2026-03-03", "", "")])
    assert said(noticed, "weather-gaps").endswith("| Find the days.")


def test_a_gap_is_filled_by_a_straight_line_when_told_and_said(daily, said, codes):
    """From 2 to 8 in three steps of 2."""
    weather, noticed = daily(ROWS, fill_gaps_days=2)
    assert lows(weather) == [0.0, 2.0, 4.0, 6.0, 8.0, 9.0]
    assert said(noticed, "weather-filled") == (
        "note: 2 missing days filled by a straight line. | fill_gaps_days = 2 says so; 0 leaves them open."
    )
    assert "weather-gaps" not in codes(noticed)


def test_a_longer_gap_stays_whole(daily, codes):
    weather, noticed = daily(ROWS, fill_gaps_days=1)
    assert np.isnan(lows(weather)).sum() == 2
    assert codes(noticed) == ["weather-gaps"]


def test_a_day_with_one_temperature_is_missing_and_a_line_never_crosses_the_other(daily):
    """The line gives 4 and 14; the written maximum of 3 would lie below that minimum."""
    rows = [("2026-03-01", 2, 12), ("2026-03-02", "", 3), ("2026-03-03", 6, 16)]
    weather, _ = daily(rows, fill_gaps_days=1)
    assert weather.days[["tmin_degc", "tmax_degc"]].iloc[1].tolist() == [4.0, 14.0]
    weather, _ = daily(rows)
    assert weather.days[["tmin_degc", "tmax_degc"]].iloc[1].isna().all()


def test_days_before_the_first_and_after_the_last_are_never_filled(daily, codes):
    weather, noticed = daily([("2026-03-01", "", ""), *ROWS[2:], ("2026-03-07", "", "")], fill_gaps_days=31)
    assert np.isnan(lows(weather)).tolist() == [True, True, True, True, False, False, True]
    assert "weather-filled" not in codes(noticed)


def test_stations_are_filled_each_by_its_own_days(daily):
    rows = [("A", "2026-03-01", 0, 5), ("A", "2026-03-03", 4, 9), ("B", "2026-03-02", 20, 25)]
    weather, _ = daily(rows, ("station", "date", "tmin", "tmax"), fill_gaps_days=3)
    assert weather.of("A")["tmin_degc"].tolist() == [0.0, 2.0, 4.0]
    assert weather.of("B")["tmin_degc"].tolist() == [20.0]
