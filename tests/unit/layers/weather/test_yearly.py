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
