import pytest


def year(place, number, months=range(1, 13)):
    return [(place, number, month, 5, 15, 30) for month in months]


def test_places_and_years_come_in_order(yearly, codes):
    climate, noticed = yearly([*year("Gorge", 2002), *year("Bench", 2001), *year("Gorge", 2001)])
    assert climate.places() == ["Bench", "Gorge"]
    assert climate.months["year"].tolist() == [2001] * 24 + [2002] * 12
    assert codes(noticed) == []


def test_a_year_under_way_is_set_aside(yearly, said):
    climate, noticed = yearly([*year("Gorge", 2001), *year("Gorge", 2002, range(1, 9))])
    assert climate.months["year"].unique().tolist() == [2001]
    assert said(noticed, "months") == (
        "caution: set aside, for want of a month: Gorge 2002. | Give all twelve months of a year."
    )


def test_a_month_twice_stops(yearly, said):
    climate, noticed = yearly([*year("Gorge", 2001), *year("Gorge", 2001, [7])])
    assert climate is None
    assert said(noticed, "months") == (
        "stop: Gorge 2001 has month 7 twice; each month is needed once. | Keep one row for each month."
    )


def test_no_whole_year_stops(yearly, codes):
    climate, noticed = yearly(year("Gorge", 2001, range(1, 9)))
    assert climate is None
    assert [one.grade for one in noticed.findings] == ["caution", "stop"]
    assert codes(noticed) == ["months", "months"]


def test_a_blank_place_and_half_a_year_are_refused(yearly, said):
    climate, noticed = yearly([*year("", 2001), *year("Gorge", 2001)])
    assert climate is None
    assert said(noticed, "blank-value").startswith("stop: place is blank: 12 rows of 24")
    climate, noticed = yearly(year("Gorge", 2001.5))
    assert said(noticed, "blank-value").startswith("stop: year is blank or no whole number: 12 rows of 12")


READY = ("place", "year", "BIO5", "bio_12")


def test_ready_variables_are_read_in_place_of_months(yearly, codes):
    climate, noticed = yearly([("Gorge", 2002, 31.5, 300), ("Gorge", 2001, 30.5, 250)], header=READY)
    assert climate.places() == ["Gorge"]
    assert climate.months.empty
    assert climate.variables.to_dict("list") == {
        "place": ["Gorge", "Gorge"],
        "year": [2001, 2002],
        "bio05": [30.5, 31.5],
        "bio12": [250.0, 300.0],
    }
    assert codes(noticed) == []


def test_ready_variables_have_the_units_of_the_layer_and_ranges_have_no_zero_point(yearly):
    """86 degF is 30 degC; a range of 18 degF is 10 degC; 10 inches are 254 mm."""
    climate, _ = yearly(
        [("Gorge", 2001, 86, 18, 10)],
        header=("place", "year", "bio05", "bio02", "bio12"),
        units={"temperature": "degf", "precipitation": "inch"},
    )
    [row] = climate.variables.to_dict("records")
    assert (row["bio05"], row["bio02"], row["bio12"]) == pytest.approx((30.0, 10.0, 254.0))


def test_a_year_twice_stops(yearly, said):
    climate, noticed = yearly([("Gorge", 2001, 31, 300), ("Gorge", 2001, 30, 250)], header=READY)
    assert climate is None
    assert said(noticed, "year-repeated") == (
        "stop: Gorge 2001 is there twice; each year is needed once. | Keep one row for each place and year."
    )


def test_ready_variables_in_another_unit_stop(yearly, said):
    climate, noticed = yearly([("Gorge", 2001, 305, 300), ("Gorge", 2002, 298, 250)], header=READY)
    assert climate is None
    assert said(noticed, "unit-impossible") == (
        "stop: bio05 runs from 298 to 305 degC; nothing on land is below -90 or above 60 degC, and 2 rows are beyond. "
        "It looks like Kelvin or tenths of a degree. | Add the one that is true: "
        'units = {temperature = "kelvin"} or units = {temperature = "tenths of degc"}'
    )


def test_months_go_before_ready_variables(yearly):
    rows = [(*one, 99) for one in year("Gorge", 2001)]
    climate, _ = yearly(rows, header=("place", "year", "month", "tmin", "tmax", "precipitation", "bio05"))
    assert len(climate.months) == 12
    assert climate.variables.empty


def test_neither_months_nor_variables_stops(yearly, said):
    climate, noticed = yearly([("Gorge", 2001, 31)], header=("place", "year", "summer"))
    assert climate is None
    assert [one.code for one in noticed.findings] == ["column-missing"] * 4
