import numpy as np
import pytest

from geo_scout.layers.places.angles import read_angles


def read(*texts, axis="latitude"):
    values = np.empty(len(texts), dtype=object)
    values[:] = texts
    degrees, problems = read_angles(values, axis)
    return degrees.tolist(), problems.tolist()


# 47 + 15/60 + 30.5/3600 and 109 + 26/60 + 5/3600, by hand.
NORTH, WEST = 47.258472222, -109.434722222


@pytest.mark.parametrize(
    "text",
    [
        "47°15'30.5\"N",
        "47° 15' 30.5\" N",
        "47º15′30.5″N",
        "47˚15’30.5”n",
        "47°15'30,5''N",
        "47 15 30.5 N",
        "N47 15 30.5",
        "N 47° 15' 30.5\"",
        "47:15:30.5",
        "+47:15:30.5",
        "47-15-30.5 N",
        "47-15-30.5",
        "47d15m30.5sN",
        "47 deg 15 min 30.5 sec N",
        "47 degrees 15 minutes 30.5 seconds north",
        "N47 15.508333333",
        "47°15.508333333'",
        "47 15,508333333 N",
        "47.258472222° N",
        "47,258472222",
        " 47.258472222 ",
        "north 47.258472222",
    ],
)
def test_one_latitude_in_many_spellings(text):
    degrees, problems = read(text)
    assert problems == [""]
    assert degrees == pytest.approx([NORTH], abs=1e-8)


@pytest.mark.parametrize(
    "text",
    [
        "109 26 5 W",
        "W109°26'05\"",
        "-109:26:05",
        "-109 26 05",
        "−109° 26′ 05″",
        "109°26'5\" west",
        "-109.434722222",
    ],
)
def test_one_longitude_in_many_spellings(text):
    degrees, problems = read(text, axis="longitude")
    assert problems == [""]
    assert degrees == pytest.approx([WEST], abs=1e-8)


def test_minus_before_zero_degrees_is_kept():
    assert read("-0 30 0", "0 30 0 S") == ([-0.5, -0.5], ["", ""])


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("47 75 30 N", "has 75 minutes; there are less than 60"),
        ("47 15 60 N", "has 60 seconds; there are less than 60"),
        ("-47 15 30 N", "has both a sign and a letter"),
        ("N 47 15 30 S", "names its hemisphere twice"),
        ("109 26 05 W", "says W, which is no latitude; the two look swapped"),
        ("47.5 15 N", "has decimals before its last part"),
        ("47 15.5 30 N", "has decimals before its last part"),
        ('47°15"', "has its marks in another order than degrees, minutes, seconds"),
        ("47 15 30'", "has its marks in another order than degrees, minutes, seconds"),
        ("47d15m30s", "ends in s, which may be seconds or south"),
        ("46-47", "may be a range or degrees and minutes"),
        ("47,15,30", "is not a number of degrees"),
        ("near the ford", "is not a number of degrees"),
        ("47 15 30 20", "is not a number of degrees"),
        ("1e3", "is not a number of degrees"),
    ],
)
def test_what_has_no_single_meaning_is_not_read(text, problem):
    assert read(text) == ([pytest.approx(float("nan"), nan_ok=True)], [problem])


def test_missing_and_numbers():
    degrees, problems = read_angles(np.array([47.25, np.nan, np.inf]), "latitude")
    assert degrees.tolist() == pytest.approx([47.25, np.nan, np.nan], nan_ok=True)
    assert problems.tolist() == ["", "", ""]
    assert read("", None, "1e-05")[0] == pytest.approx([np.nan, np.nan, 1e-5], nan_ok=True)


def test_a_row_without_hemisphere_among_rows_with_one_is_not_read():
    degrees, problems = read("109 26 05 W", "109 30", "-109.5", "0", "", axis="longitude")
    assert degrees == pytest.approx([WEST, np.nan, -109.5, 0.0, np.nan], nan_ok=True, abs=1e-8)
    assert problems == ["", "names no E or W, which other rows do", "", "", ""]


def test_o_may_be_east_or_west():
    assert read("109 26 O", axis="longitude")[1] == [
        "says O, which may be Ost (east) or oeste and ouest (west)"
    ]


def test_sixty_with_decimals_is_carried_over():
    written = np.array(["40°17'60.00\"N", "40 59 60.0 N", "40°60.0'N"], dtype=object)
    degrees, problems = read_angles(written, "latitude")
    assert problems.tolist() == ["", "", ""]
    assert degrees.tolist() == pytest.approx([40.3, 41.0, 41.0], abs=1e-12)
