import datetime as dt

import pytest

from geo_scout.layers.inspect.date_formats import date_formats, telling_date


@pytest.mark.parametrize(
    "pattern",
    ["%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%d-%m-%Y", "%Y%m%d", "%d %b %Y", "%d-%b-%y", "%B %d, %Y",
     "%m/%d/%Y %H:%M", "%m/%d/%Y %I:%M:%S %p", "%Y.%m.%d"],
)  # fmt: skip
def test_dates_written_in_a_format_are_recognised_as_that_format(pattern: str) -> None:
    days = [dt.datetime(2021, 3, 4, 14, 5, tzinfo=dt.UTC), dt.datetime(2022, 11, 27, 6, 45, tzinfo=dt.UTC)]
    assert date_formats([day.strftime(pattern) for day in days]) == (pattern,)


def test_day_and_month_that_cannot_be_told_apart_give_both() -> None:
    assert date_formats(["03/04/2024", "11/12/2023"]) == ("%d/%m/%Y", "%m/%d/%Y")


def test_one_late_day_decides() -> None:
    assert date_formats(["03/04/2024", "11/27/2023"]) == ("%m/%d/%Y",)
    assert date_formats(["03/04/2024", "27/11/2023"]) == ("%d/%m/%Y",)


def test_the_first_date_being_the_telling_one_does_not_hide_the_format() -> None:
    assert date_formats(["11/27/2023", "03/04/2024"]) == ("%m/%d/%Y",)


@pytest.mark.parametrize("texts", [[], ["12", "13"], ["oak", "elm"], ["2024", "2023"], ["1.5", "2.5"]])
def test_what_is_no_date_gives_nothing(texts: list[str]) -> None:
    assert date_formats(texts) == ()


def test_years_nobody_plans_with_are_no_dates() -> None:
    assert date_formats(["12/11/0220", "12/30/9999"]) == ()


def test_one_bad_cell_in_a_hundred_does_not_hide_the_format() -> None:
    assert date_formats([*["27.03.2024"] * 99, "unknown"]) == ("%d.%m.%Y",)


def test_the_telling_date_fits_one_order_only() -> None:
    assert telling_date(["03/04/2024", "03/27/2024"], "%m/%d/%Y") == "03/27/2024"
    assert telling_date(["03/04/2024"], "%m/%d/%Y") == ""
