"""Bioclimatic variables of years that can be worked out on paper."""

import numpy as np
import pytest

from geo_scout.formulas.bioclim import bioclim
from geo_scout.model.bioclim_convention import BioclimConvention

# January to December; warmest in July, driest in August, wettest in November
TMIN = np.array([-10, -8, -4, 0, 4, 8, 12, 10, 6, 2, -4, -9.0])
TMAX = TMIN + np.array([6, 6, 8, 10, 12, 14, 16, 16, 12, 8, 6, 6.0])
RAIN = np.array([50, 40, 30, 25, 20, 10, 4, 2, 8, 45, 70, 60.0])


def one_place(**choices):
    convention = BioclimConvention(**choices)
    values = bioclim(TMIN[:, None], TMAX[:, None], RAIN[:, None], convention=convention)
    return {name: float(value[0]) for name, value in values.items()}


def test_there_are_nineteen_in_order_of_their_number():
    assert sorted(one_place()) == [f"bio{number:02d}" for number in range(1, 20)]


def test_a_year_worked_out_by_hand():
    values = one_place()
    # monthly means: -7 -5 0 5 10 15 20 18 12 6 -1 -6
    expected = {
        "bio01": 67 / 12,
        "bio02": 10.0,
        "bio03": 100 * 10 / 38,
        "bio05": 28.0,
        "bio06": -10.0,
        "bio07": 38.0,
        "bio08": (-1 - 6 - 7) / 3,  # wettest: November to January, 180 mm
        "bio09": (20 + 18 + 12) / 3,  # driest: July to September, 14 mm
        "bio10": (15 + 20 + 18) / 3,  # warmest: June to August
        "bio11": (-6 - 7 - 5) / 3,  # coldest: December to February
        "bio12": 364.0,
        "bio13": 70.0,
        "bio14": 2.0,
        "bio16": 180.0,
        "bio17": 14.0,
        "bio18": 16.0,
        "bio19": 150.0,
    }
    assert {name: values[name] for name in expected} == pytest.approx(expected)


def test_without_wrapping_no_quarter_crosses_new_year():
    values = one_place(quarters="within_year")
    assert values["bio16"] == 175.0  # October to December
    assert values["bio08"] == pytest.approx((6 - 1 - 6) / 3)
    assert values["bio11"] == pytest.approx(-4.0)  # January to March, mean of -7 -5 0
    assert values["bio19"] == 120.0


def test_calendar_quarters_are_the_four_of_the_calendar():
    values = one_place(quarters="calendar")
    assert values["bio16"] == 175.0  # October to December; July to September is driest with 14 mm
    assert values["bio17"] == 14.0
    assert values["bio10"] == pytest.approx(50 / 3)  # July to September, 20 18 12; April to June is 10
    assert values["bio11"] == pytest.approx(-4.0)  # January to March
    assert values["bio18"] == 14.0


def test_the_other_hemisphere_has_the_same_quarters_half_a_year_later():
    """July to December first: the warmest quarter is December to February and is not cut in two."""
    turned = bioclim(*(np.roll(months, 6)[:, None] for months in (TMIN, TMAX, RAIN)))
    straight = one_place()
    assert {name: float(value[0]) for name, value in turned.items()} == pytest.approx(straight)
    cut = BioclimConvention(quarters="within_year")
    within = bioclim(*(np.roll(months, 6)[:, None] for months in (TMIN, TMAX, RAIN)), convention=cut)
    assert float(within["bio10"][0]) < straight["bio10"]


def test_a_convention_says_itself_and_refuses_what_does_not_exist():
    assert BioclimConvention(divisor="n", precipitation_plus_one=False, quarters="calendar").words == (
        "standard deviations divide by n; bio15 uses precipitation as it is; "
        "quarters are January-March, April-June, July-September, October-December"
    )
    with pytest.raises(ValueError, match="no such convention: divisor 'n', quarters 'lunar'"):
        BioclimConvention(divisor="n", quarters="lunar")


def test_the_two_conventions_of_bio04_and_bio15():
    monthly_means = (TMIN + TMAX) / 2
    spread = np.sqrt(((monthly_means - monthly_means.mean()) ** 2).sum())
    assert one_place()["bio04"] == pytest.approx(100 * spread / np.sqrt(11))
    assert one_place(divisor="n")["bio04"] == pytest.approx(100 * spread / np.sqrt(12))
    rain_spread = np.sqrt(((RAIN - RAIN.mean()) ** 2).sum() / 11)
    assert one_place()["bio15"] == pytest.approx(100 * rain_spread / (364 / 12 + 1))
    assert one_place(precipitation_plus_one=False)["bio15"] == pytest.approx(100 * rain_spread / (364 / 12))


def test_of_equal_quarters_the_earliest_start_is_taken():
    months = np.arange(12.0)[:, None]
    values = bioclim(months, months, np.full((12, 1), 5.0))
    assert values["bio08"] == values["bio09"] == pytest.approx(1.0)  # January to March
    # sums that differ only by rounding (0.1 + 0.2 + 0.3 against 0.3 + 0.2 + 0.1) are equal, too
    rain = np.array([0.3, 0.2, 0.1, 0, 0, 0, 0.1, 0.2, 0.3, 0, 0, 0])[:, None]
    assert (rain[6] + rain[7] + rain[8] != rain[0] + rain[1] + rain[2]).all()
    assert bioclim(months, months, rain)["bio08"] == pytest.approx(1.0)


def test_a_missing_month_takes_only_the_variables_that_need_it():
    places = [np.repeat(values[:, None], 3, axis=1) for values in (TMIN, TMAX, RAIN)]
    places[0][3, 0] = np.nan
    places[2][5, 1] = np.nan
    values = bioclim(*places)
    missing = [{name for name, value in values.items() if np.isnan(value[place])} for place in range(3)]
    of_rain = {"bio12", "bio13", "bio14", "bio15", "bio16", "bio17"}
    every = {f"bio{number:02d}" for number in range(1, 20)}
    assert missing[0] == every - of_rain - {"bio05"}
    assert missing[1] == of_rain | {"bio08", "bio09", "bio18", "bio19"}
    assert missing[2] == set()


def test_no_range_and_no_rain_divide_by_nothing():
    flat = np.full((12, 1), 7)
    values = bioclim(
        flat, flat, np.zeros((12, 1)), convention=BioclimConvention(precipitation_plus_one=False)
    )
    assert np.isnan(values["bio03"])
    assert np.isnan(values["bio15"])
    assert bioclim(flat, flat, np.zeros((12, 1)))["bio15"] == 0.0


def test_no_places_and_wrong_shapes():
    none = np.zeros((12, 0))
    assert {value.shape for value in bioclim(none, none, none).values()} == {(0,)}
    with pytest.raises(ValueError, match=r"tmax_degc has shape \(3, 12\)"):
        bioclim(np.zeros((12, 3)), np.zeros((3, 12)), np.zeros((12, 3)))
    with pytest.raises(ValueError, match="differ in shape"):
        bioclim(np.zeros((12, 3)), np.zeros((12, 3)), np.zeros((12, 2)))
