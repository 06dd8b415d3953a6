import numpy as np

ROWS = [(month, 5, 15) for month in range(1, 13)]
# 10 degC in June to August, 0 in December to February, 5 otherwise.
NORTHERN = [(month, low, low + 10) for month, low in
            zip(range(1, 13), [0, 0, 5, 5, 5, 10, 10, 10, 5, 5, 5, 0], strict=True)]  # fmt: skip


def test_a_period_nobody_states_is_said(monthly, said):
    normals, noticed = monthly(ROWS)
    assert normals.period == ""
    assert said(noticed, "normals-period") == (
        'caution: nobody says which years these normals are the mean of. | Add it: period = "1991-2020"'
    )


def test_the_period_is_kept(monthly, codes):
    normals, noticed = monthly(ROWS, period="1981-2010")
    assert normals.period == "1981-2010"
    assert codes(noticed) == []


def test_a_month_without_its_temperatures_is_said(monthly, said):
    normals, noticed = monthly([*ROWS[:11], (12, "", 15)], period="1991-2020")
    assert np.isnan(normals.tmin_degc[12]).all()
    assert said(noticed, "blank-value").startswith(
        "caution: the station has a month without its temperatures"
    )


def placed(latitude):
    header = ("latitude_deg", "longitude_deg", "elevation_m", "month", "tmin", "tmax")
    return [(latitude, 10, 100, *row) for row in NORTHERN], header


def test_a_winter_warmer_than_summer_is_doubted(monthly, said):
    _, noticed = monthly(*placed(-40), period="1991-2020", on_map=True)
    assert said(noticed, "months-turned") == (
        "caution: winter is warmer than summer at the station (latitude -40 degrees). | "
        "Check that month 1 is January, and the sign of the latitude: south is below zero."
    )


def test_northern_months_in_the_north_and_the_tropics_are_not_doubted(monthly, codes):
    for latitude in (40, -20, ""):
        _, noticed = monthly(*placed(latitude), period="1991-2020")
        assert "months-turned" not in codes(noticed)


def test_stations_are_kept_apart(monthly):
    rows = [("A", *row) for row in ROWS] + [("B", month, 0, 1) for month in range(1, 13)]
    normals, _ = monthly(rows, ("station", "month", "tmin", "tmax"), period="1991-2020")
    assert normals.tmax_degc[7].to_dict() == {"A": 15.0, "B": 1.0}
