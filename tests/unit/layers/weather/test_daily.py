import datetime as dt

import numpy as np

DAYS = [(f"2026-03-{day:02}", day, day + 10) for day in range(1, 11)]


def numbers(weather, name="tmin_degc"):
    return {str(day.date()): value for day, value in weather.days.set_index("date")[name].items()}


def test_a_table_without_a_station_is_one_station(daily, codes):
    weather, noticed = daily(DAYS)
    assert list(weather.stations.index) == ["the station"]
    assert numbers(weather)["2026-03-04"] == 4.0
    assert codes(noticed) == []
    assert weather.years("the station") == (2026, 2026)


def test_days_come_in_order_whatever_the_order_of_the_rows(daily):
    weather, _ = daily(DAYS[::-1])
    assert list(numbers(weather)) == [day for day, *_ in DAYS]


def test_stations_are_kept_apart_with_their_places(daily, codes):
    header = ("station", "longitude_deg", "latitude_deg", "elevation_m", "date", "tmin", "tmax")
    rows = [
        ("Pass", -110, 47, 2000, *DAYS[0]),
        ("Ford", -109, 46, 900, *DAYS[0]),
        ("Pass", "", "", "", *DAYS[1]),
    ]
    weather, noticed = daily(rows, header, on_map=True)
    assert weather.stations.loc["Pass"].tolist() == [-110.0, 47.0, 2000.0]
    assert list(weather.stations.index) == ["Pass", "Ford"]
    assert len(weather.of("Pass")) == 2
    assert codes(noticed) == []


def test_fahrenheit_kelvin_and_tenths_become_degrees_celsius(daily):
    """50 degF, 283.15 K and 100 tenths are 10 degC."""
    for unit, written in (("degf", 50), ("kelvin", 283.15), ("tenths of degc", 100)):
        weather, _ = daily([("2026-03-01", written, written)], units={"temperature": unit})
        assert np.allclose(list(numbers(weather).values()), [10.0])


def test_29_february_is_a_day_like_any_other(daily, codes):
    weather, noticed = daily([("2024-02-28", 1, 2), ("2024-02-29", 3, 4), ("2024-03-01", 5, 6)])
    assert numbers(weather)["2024-02-29"] == 3.0
    assert codes(noticed) == []


def test_29_february_of_a_common_year_is_no_day(daily, said):
    _, noticed = daily([("2026-02-28", 1, 2), ("2026-02-29", 3, 4)])
    assert said(noticed, "value-unreadable") == (
        "stop: date is not a date in 1 row: '2026-02-29'. | Write it like 2026-05-31, or state date_format."
    )


def test_days_after_as_of_are_left_out_and_said(daily, said):
    weather, noticed = daily(DAYS, as_of=dt.date(2026, 3, 8))
    assert list(numbers(weather))[-1] == "2026-03-08"
    assert said(noticed, "weather-future") == (
        "note: 2 days after 2026-03-08 (as_of) left out: not known yet. | "
        "A forecast is no measurement; give what was measured."
    )


def test_a_table_of_the_future_alone_stops(daily, said):
    weather, noticed = daily(DAYS, as_of=dt.date(2025, 1, 1))
    assert weather is None
    assert said(noticed, "weather-future") == (
        "stop: every day of the table lies after 2025-01-01, so nothing of it is known yet. | "
        "Check the years, or `as_of` under [season]."
    )


def test_some_days_with_tmin_above_tmax_are_set_aside(daily, said):
    weather, noticed = daily([*DAYS, ("2026-03-11", 9, 4)])
    assert "2026-03-11" not in numbers(weather)
    assert said(noticed, "tmin-above-tmax") == (
        "caution: Set aside: tmin is above tmax: 1 row of 11 (row 12). | "
        "Mend the cells: the lowest temperature of a day is not above its highest."
    )


def test_most_days_with_tmin_above_tmax_stop(daily, said):
    weather, noticed = daily([(day, high, low) for day, low, high in DAYS])
    assert weather is None
    assert said(noticed, "tmin-above-tmax") == (
        "stop: tmin is above tmax on 10 days of 10. | The two look exchanged; check `columns`."
    )


def test_the_first_row_of_a_day_stays(daily, said):
    weather, noticed = daily([*DAYS, ("2026-03-10", 0, 1), ("2026-03-10", 2, 3)])
    assert numbers(weather)["2026-03-10"] == 10.0
    assert said(noticed, "day-repeated") == (
        "caution: Set aside: the same day of a station again: 2 rows of 12 (row 12, row 13). | "
        "Keep one row for each station and day."
    )


def test_too_many_repeated_days_stop(daily, said):
    weather, noticed = daily([*DAYS, *DAYS[:3]], max_bad_share=0.05)
    assert weather is None
    assert said(noticed, "day-repeated").startswith("stop: the same day of a station again: 3 rows of 13")


def test_blank_dates_are_set_aside(daily, said):
    weather, noticed = daily([*DAYS, ("", 1, 2)])
    assert len(weather.days) == 10
    assert said(noticed, "blank-value").startswith(
        "caution: Set aside: date is blank or unreadable: 1 row of 11"
    )


def test_a_table_of_blank_dates_says_one_thing(daily, codes):
    weather, noticed = daily([("", 1, 2)] * 3)
    assert weather is None
    assert codes(noticed) == ["blank-value"]


def test_a_station_without_temperatures_is_left_out(daily, said):
    header = ("station", "date", "tmin", "tmax")
    rows = [("Ford", *day) for day in DAYS] + [("Pass", "2026-03-01", "", 5), ("Pass", "2026-03-02", 4, "")]
    weather, noticed = daily(rows, header)
    assert list(weather.stations.index) == ["Ford"]
    assert said(noticed, "station-silent") == (
        "caution: Pass has no day with both temperatures; left out. | Give the days, or take its rows out."
    )
    weather, noticed = daily(rows[10:], header)
    assert weather is None
    assert said(noticed, "station-silent").startswith("stop: Pass has no day with both temperatures.")


def test_precipitation_is_kept_for_a_map_and_not_looked_at_without_one(daily, codes):
    header, rows = (*(["date", "tmin", "tmax"]), "precipitation"), [("2026-03-01", 1, 5, "T")]
    weather, noticed = daily(rows, header, on_map=False)
    assert codes(noticed) == []
    weather, noticed = daily(rows, header, on_map=True)
    assert weather is not None
    assert "value-unreadable" in codes(noticed)


def test_a_mean_is_never_taken_for_the_lowest_or_the_highest(daily, said):
    for mean in ("tmean", "TAVG", "Temp average"):
        _, noticed = daily([("2026-03-01", 5)], ("date", mean))
        fixes = [one.fix for one in noticed.findings if one.code == "column-missing"]
        assert len(fixes) == 2
        assert all(fix.startswith("Say which one it is") for fix in fixes)


def test_one_column_for_the_lowest_and_the_highest_stops(daily, said):
    weather, noticed = daily([("2026-03-01", 5)], ("date", "t"), columns={"tmin": "t", "tmax": "t"})
    assert weather is None
    assert said(noticed, "column-twice") == (
        "stop: column 't' is named for both tmin and tmax. | "
        "Name the lowest and the highest temperature of the day; a mean is neither."
    )
