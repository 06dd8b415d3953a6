import datetime as dt

import numpy as np
import pytest

FIRST = dt.date(2025, 1, 1)
RANGE = "nothing on land is below -90 or above 60 degC"


def days(low, high, count=200):
    """Return days whose extremes swing between two values and eight tenths of the way."""
    swing = np.linspace(0.0, 1.0, count)
    return [
        (
            str(FIRST + dt.timedelta(days=n)),
            f"{low + swing[n] * (high - low):.2f}",
            f"{low + 5 + swing[n] * (high - low):.2f}",
        )
        for n in range(count)
    ]


@pytest.mark.parametrize(
    ("low", "high", "looks", "unit"),
    [
        (255.0, 295.0, "Kelvin", "kelvin"),
        (-10.0, 100.0, "Fahrenheit", "degf"),
        (-150.0, 310.0, "tenths of a degree", "tenths of degc"),
    ],
)
def test_another_unit_stops_and_is_guessed_from_the_range(daily, low, high, looks, unit):
    weather, noticed = daily(days(low, high))
    assert weather is None
    stops = [one for one in noticed.findings if one.code == "unit-impossible"]
    assert [one.what.split(" runs")[0] for one in stops] == ["tmin", "tmax"]
    assert RANGE in stops[0].what
    assert stops[0].what.endswith(f"It looks like {looks}.")
    assert stops[0].fix == f'If so, add: units = {{temperature = "{unit}"}}'


def test_whole_numbers_around_280_may_be_kelvin_or_tenths_of_the_tropics(daily):
    rows = [(f"2025-01-{day:02}", 275 + day % 3, 290 + day % 3) for day in range(1, 29)]
    _, noticed = daily(rows)
    assert noticed.findings[0].what.endswith("It looks like Kelvin or tenths of a degree.")
    assert noticed.findings[0].fix == (
        'Add the one that is true: units = {temperature = "kelvin"} or units = {temperature = "tenths of degc"}'
    )


def test_a_few_impossible_cells_become_missing(daily, said):
    rows = days(0.0, 20.0)
    rows[7] = (rows[7][0], "-123.4", rows[7][2])
    weather, noticed = daily(rows)
    assert np.isnan(weather.days["tmin_degc"]).sum() == 1
    assert said(noticed, "unit-doubtful") == (
        f"caution: tmin runs from -123.4 to 20 degC; {RANGE}, and 1 row is beyond. Taken as missing. | "
        "Mend the cells in the table."
    )


def test_negative_rain_is_missing_where_a_table_may_do_without(monthly, said):
    rows = [(month, 5, 15, -4 if month == 7 else 30) for month in range(1, 13)]
    normals, noticed = monthly(
        rows, ("month", "tmin", "tmax", "precipitation"), on_map=True, period="1991-2020"
    )
    assert np.isnan(normals.precipitation_mm[7]).all()
    assert said(noticed, "unit-doubtful").startswith(
        "caution: precipitation runs from -4 to 30 mm; nothing on land is below 0"
    )


def test_negative_rain_stops_where_it_is_needed(yearly, said):
    rows = [("Gorge", 2001, month, 5, 15, -4) for month in range(1, 13)]
    climate, noticed = yearly(rows)
    assert climate is None
    assert said(noticed, "unit-impossible").endswith(
        'State its unit, for example: units = {precipitation = "inch"}; missing is an empty cell.'
    )
