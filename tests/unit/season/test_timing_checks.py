import pytest

from geo_scout.season.open_toml import read_text
from geo_scout.season.timing_checks import NO_SUMS, check_timing, month_day

HEAT = 'unit = "degc"\nbase = 8.0\nmethod = "single_sine"\nstart = "01-01"\nsums = {opens = 100}\n'


def mistakes(text, table="timing.collecting.heat"):
    return [(one.code, one.key) for one in check_timing(read_text(f"[{table}]\n{text}", "beetle.toml"))]


def heat(**changes):
    lines = dict(line.split(" = ", 1) for line in HEAT.splitlines())
    lines.update({key: str(value) for key, value in changes.items()})
    return "".join(f"{key} = {value}\n" for key, value in lines.items() if value != "None")


def calendar(**days):
    return "".join(f'{moment} = "{day}"\n' for moment, day in days.items())


def test_what_is_right_is_right():
    assert mistakes(HEAT) == []
    assert mistakes(heat(upper=35, cutoff='"horizontal"')) == []
    assert mistakes(calendar(scout="05-20", opens="06-10", closes="07-05"), "timing.receptive.calendar") == []
    assert mistakes(calendar(opens="12-20", peaks="01-05", closes="01-31"), "timing.receptive.calendar") == []


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"base": 40, "upper": 35, "cutoff": '"horizontal"'}, "base"),
        ({"base": 31}, "base"),
        ({"base": -10.5}, "base"),
        ({"unit": '"degf"', "base": 8.0}, "base"),
        ({"upper": 35}, "upper"),
        ({"cutoff": '"vertical"'}, "cutoff"),
        ({"sums": "{opens = 200, peaks = 200}"}, "sums.peaks"),
    ],
)
def test_a_heat_model_that_contradicts_itself_is_refused(changes, key):
    found = mistakes(heat(**changes))
    assert ("timing-heat", f"timing.collecting.heat.{key}") in found


def test_bases_at_the_ends_of_the_range_are_right():
    """-10 and 30 degC are 14 and 86 degF."""
    for unit, base in (("degc", -10), ("degc", 30), ("degf", 14), ("degf", 86)):
        assert mistakes(heat(unit=f'"{unit}"', base=base)) == []


def test_a_window_without_a_sum_has_a_code_of_its_own():
    assert mistakes(heat(sums="{}")) == [(NO_SUMS, "timing.collecting.heat.sums")]


@pytest.mark.parametrize("day", ["2-1", "02-30", "13-01", "June 5", "2027-05-20", ""])
def test_a_start_is_a_month_and_a_day(day):
    assert mistakes(heat(start=f'"{day}"')) == [("timing-day", "timing.collecting.heat.start")]


def test_29_february_is_refused_by_name():
    assert month_day("02-29") == (2, 29)
    assert mistakes(heat(start='"02-29"')) == [("timing-day", "timing.collecting.heat.start")]
    assert mistakes(calendar(opens="02-29"), "timing.receptive.calendar") == [
        ("timing-day", "timing.receptive.calendar.opens")
    ]


@pytest.mark.parametrize(
    ("days", "key"),
    [
        ({"opens": "06-10", "peaks": "06-01"}, "peaks"),
        ({"opens": "06-10", "peaks": "06-20", "closes": "06-15"}, "closes"),
        ({"scout": "06-20", "opens": "06-10"}, "opens"),
        ({"scout": "01-01", "closes": "12-01"}, "closes"),
    ],
)
def test_days_that_do_not_follow_each_other_are_refused_once(days, key):
    """1 January to 1 December are 334 days; a window is at most 300 long."""
    assert mistakes(calendar(**days), "timing.collecting.calendar") == [
        ("timing-calendar", f"timing.collecting.calendar.{key}")
    ]


def test_half_a_shift_and_no_day_are_refused():
    table = "timing.collecting.calendar"
    assert mistakes(calendar(opens="06-10") + "days_per_100m = 3\n", table) == [
        ("timing-calendar", f"{table}.at_elevation_m")
    ]
    assert mistakes('source = "x"\n', table) == [("timing-calendar", table)]


@pytest.mark.parametrize(
    ("start", "opens", "is_refused"),
    [
        ("01-01", "06-10", False),
        ("10-01", "06-10", False),
        # 300 days from 14 August to 10 June, 301 from 13 August.
        ("08-14", "06-10", False),
        ("08-13", "06-10", True),
        ("06-11", "06-10", True),
        ("06-10", "06-10", False),
        ("07-01", "01-15", False),
        ("02-01", "01-15", True),
    ],
)
def test_heat_that_counts_from_a_day_after_the_window_is_refused(start, opens, is_refused):
    text = heat(start=f'"{start}"') + f'[timing.collecting.calendar]\nopens = "{opens}"\n'
    assert mistakes(text) == ([("timing-heat", "timing.collecting.heat.start")] if is_refused else [])
