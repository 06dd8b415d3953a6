import pytest

ROWS = [(month, 5, 15) for month in range(1, 13)]


def test_months_in_any_order_are_put_in_order(monthly):
    rows = [(month, month, month + 10) for month in range(12, 0, -1)]
    normals, _ = monthly(rows, period="1991-2020")
    assert normals.tmin_degc.loc["the station"].tolist() == [float(month) for month in range(1, 13)]


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        (ROWS[:7] + ROWS[8:], "the station has 11 rows with no month 8; each month is needed once."),
        ([*ROWS, (7, 5, 15)], "the station has 13 rows with month 7 twice; each month is needed once."),
        (
            [*ROWS[:11], (11, 5, 15)],
            "the station has 12 rows with month 11 twice and no month 12; each month is needed once.",
        ),
        ([*ROWS, (13, 5, 15)], "month is 13; months are the numbers 1 to 12."),
        ([*ROWS[:11], ("", 5, 15)], "month is blank; months are the numbers 1 to 12."),
        ([*ROWS[:11], (12.5, 5, 15)], "month is 12.5; months are the numbers 1 to 12."),
    ],
)
def test_each_month_is_needed_once(monthly, said, rows, sentence):
    normals, noticed = monthly(rows, period="1991-2020")
    assert normals is None
    assert said(noticed, "months").startswith(f"stop: {sentence} | ")


def test_one_month_with_tmin_above_tmax_stops_normals(monthly, said):
    normals, noticed = monthly([*ROWS[:6], (7, 30, 20), *ROWS[7:]], period="1991-2020")
    assert normals is None
    assert said(noticed, "tmin-above-tmax") == (
        "stop: tmin is above tmax in 1 of 12 rows, first in row 8 (30 and 20 degC). | "
        "Check whether the two columns are exchanged."
    )


def wet(amount):
    return [(month, 5, 15, amount) for month in range(1, 13)]


HEADER = ("month", "tmin", "tmax", "precipitation")


def test_inches_given_as_millimetres_are_doubted(monthly, said, codes):
    """1.2 inches a month are 14.4 in a year: as millimetres less than a desert's 60."""
    _, noticed = monthly(wet(1.2), HEADER, on_map=True, period="1991-2020")
    assert said(noticed, "precipitation-dry") == (
        "caution: a year's precipitation is 14.4 to 14.4 mm, drier than most deserts. | "
        'State its unit: units = {precipitation = "inch"}, or "mm" if it is so dry.'
    )
    for amount, keys in (
        (1.2, {"units": {"precipitation": "inch"}}),
        (1.2, {"units": {"precipitation": "mm"}}),
        (5, {}),
    ):
        _, noticed = monthly(wet(amount), HEADER, on_map=True, period="1991-2020", **keys)
        assert "precipitation-dry" not in codes(noticed)


def test_months_in_words_are_told_which_numbers_to_write(monthly, said):
    _, noticed = monthly([("Jan", 5, 15), *ROWS[1:]], period="1991-2020")
    assert said(noticed, "value-unreadable").endswith("'Jan'. | Write it like 1 for January, up to 12.")
