import numpy as np

from geo_scout.timing.continued import continued_weather, known_names, named_like, strangers
from tests.weather_frames import HERE, steady, weather

UNNAMED, NOWHERE = "the station", (np.nan, np.nan, np.nan)


def days(daily, station="Ford"):
    return {str(day.date()): value for day, value in daily.of(station)["tmin_degc"].items()}


def test_later_days_take_the_place_of_earlier_ones_and_go_on_from_them():
    earlier = weather({"Ford": steady(5.0)}, "2026-12-30", "2027-01-02")
    later = weather({"Ford": steady(9.0)}, "2027-01-02", "2027-01-03")
    assert days(continued_weather(earlier, later)) == {
        "2026-12-30": 5.0, "2026-12-31": 5.0, "2027-01-01": 5.0, "2027-01-02": 9.0, "2027-01-03": 9.0,
    }  # fmt: skip


def test_other_stations_stay_and_new_ones_come_after_them():
    earlier = weather({"Ford": steady(5.0), "Pass": steady(1.0)}, "2026-01-01", "2026-01-02")
    later = weather({"Mill": steady(7.0), "Pass": steady(2.0)}, "2026-01-02", "2026-01-03")
    found = continued_weather(earlier, later)
    assert list(found.stations.index) == ["Ford", "Pass", "Mill"]
    assert list(days(found, "Pass").values()) == [1.0, 2.0, 2.0]
    assert len(days(found, "Ford")) == 2


def test_a_place_that_later_weather_leaves_open_is_the_earlier_one():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    later = weather({"Ford": steady(5.0)}, "2026-01-03", "2026-01-03", places={"Ford": NOWHERE})
    assert tuple(continued_weather(earlier, later).stations.loc["Ford"]) == HERE


def test_without_earlier_weather_the_later_is_all_there_is():
    later = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    assert continued_weather(None, later) is later
    assert named_like(None, later, UNNAMED) is later


def test_one_station_without_a_name_is_the_only_one_known():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    later = weather({UNNAMED: steady(6.0)}, "2026-01-03", "2026-01-03")
    named = named_like(earlier, later, UNNAMED)
    assert list(named.stations.index) == list(named.days["station"].unique()) == ["Ford"]
    two = weather({"Ford": steady(5.0), "Pass": steady(5.0)}, "2026-01-01", "2026-01-02")
    assert named_like(two, later, UNNAMED) is later


def test_a_station_nobody_knows_and_nobody_placed_is_a_stranger():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    lost = weather({"Frod": steady(5.0)}, "2026-01-01", "2026-01-02", places={"Frod": NOWHERE})
    assert strangers(earlier, lost) == ["Frod"]
    assert strangers(None, lost) == []
    assert strangers(earlier, weather({"Mill": steady(5.0)}, "2026-01-01", "2026-01-02")) == []


def test_a_name_written_otherwise_is_the_known_one():
    earlier = weather({"Ford Mill": steady(5.0)}, "2026-01-01", "2026-01-02")
    later = weather({"ford  mill": steady(6.0)}, "2026-01-03", "2026-01-03", places={"ford  mill": NOWHERE})
    found, names = known_names(earlier, later)
    assert names == {"ford  mill": "Ford Mill"}
    assert list(found.stations.index) == ["Ford Mill"]
    assert len(days(continued_weather(earlier, found), "Ford Mill")) == 3


def test_another_name_at_one_spot_is_the_known_station_and_its_own_name_goes_first():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    later = weather({"Abbey": steady(6.0), "Ford": steady(7.0)}, "2026-01-03", "2026-01-03")
    found, names = known_names(earlier, later)
    assert names == {"Abbey": "Ford"}
    assert days(found) == {"2026-01-03": 7.0}


def test_a_station_elsewhere_keeps_its_name():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    east, north, elevation_m = HERE
    for place in ((east + 0.01, north, elevation_m), (east, north, elevation_m + 50)):
        later = weather({"Mill": steady(6.0)}, "2026-01-03", "2026-01-03", places={"Mill": place})
        assert known_names(earlier, later) == (later, {})
    assert known_names(None, earlier) == (earlier, {})


def test_a_day_without_temperatures_takes_the_place_of_none():
    earlier = weather({"Ford": steady(5.0)}, "2026-01-01", "2026-01-02")
    later = weather({"Ford": steady(6.0)}, "2026-01-02", "2026-01-03")
    later.days.loc[0, ["tmin_degc", "tmax_degc"]] = np.nan
    assert days(continued_weather(earlier, later)) == {
        "2026-01-01": 5.0,
        "2026-01-02": 5.0,
        "2026-01-03": 6.0,
    }
