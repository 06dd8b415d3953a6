"""A limit is compared with its own quantity only."""

import numpy as np
import pytest

from geo_scout.formulas.climate_limits import OtherQuantityError, check_limit
from geo_scout.model.climate_quantity import ClimateQuantity, NamedQuantity
from geo_scout.model.quantities import CLIMATE_LIMITS, CLIMATE_VARIABLES, UNCHECKED_LIMITS

WINTER = NamedQuantity(ClimateQuantity.MEAN_COLDEST_MONTH_MIN)
COLDEST_NIGHT = NamedQuantity(ClimateQuantity.ANNUAL_EXTREME_MIN)
BASE_TEN = NamedQuantity(ClimateQuantity.HEAT_SUM, "base 10 degC, single sine, from 1 January")


def test_values_inside_beyond_and_missing():
    found = check_limit(WINTER, [-15.0, -10.0, -3.0, 5.0, 7.5, np.nan], WINTER, least=-10.0, most=5.0)
    assert found.is_below.tolist() == [True, False, False, False, False, False]
    assert found.is_above.tolist() == [False, False, False, False, True, False]
    assert found.is_known.tolist() == [True] * 5 + [False]
    assert found.beyond == pytest.approx([5.0, 0.0, 0.0, 0.0, 2.5, np.nan], nan_ok=True)


def test_one_sided_and_no_limits():
    assert check_limit(WINTER, [-99.0, 99.0], WINTER, most=5.0).is_above.tolist() == [False, True]
    open_ended = check_limit(WINTER, [-99.0, 99.0], WINTER)
    assert not (open_ended.is_below | open_ended.is_above).any()


def test_a_mean_minimum_is_never_held_against_the_coldest_night():
    message = "mean_coldest_month_min_degc cannot be held against a limit of annual_extreme_min_degc"
    with pytest.raises(OtherQuantityError, match=message):
        check_limit(WINTER, [-12.0], COLDEST_NIGHT, least=-28.0)


def test_heat_sums_of_another_base_are_another_quantity():
    other = NamedQuantity(ClimateQuantity.HEAT_SUM, "base 7.5 degC, single sine, from 1 January")
    with pytest.raises(OtherQuantityError, match=r"base 10 degC.* cannot be held .* base 7\.5 degC"):
        check_limit(BASE_TEN, [500.0], other, least=400.0)
    assert check_limit(BASE_TEN, [500.0], BASE_TEN, least=600.0).beyond.tolist() == [100.0]


def test_a_heat_sum_needs_its_basis_and_others_have_none():
    with pytest.raises(ValueError, match="a heat sum has a basis, others have none"):
        NamedQuantity(ClimateQuantity.HEAT_SUM)
    with pytest.raises(ValueError, match="a heat sum has a basis, others have none"):
        NamedQuantity(ClimateQuantity.ANNUAL_MEAN, "base 10 degC")


def test_limits_the_wrong_way_round_are_refused():
    with pytest.raises(ValueError, match="the lowest value allowed, 5, is above the highest, -5"):
        check_limit(WINTER, [0.0], WINTER, least=5.0, most=-5.0)


def test_what_can_be_computed_from_what():
    from_normals = {quantity.value for quantity in ClimateQuantity if quantity.origin == "monthly normals"}
    assert from_normals == set(CLIMATE_LIMITS)
    assert {q.value for q in ClimateQuantity if q.origin == "daily data or a layer of its own"} == set(
        UNCHECKED_LIMITS
    )
    assert ClimateQuantity.HEAT_SUM.origin == "monthly normals and a stated base"


@pytest.mark.parametrize("quantity", ClimateQuantity)
def test_names_units_and_variables_agree(quantity):
    suffix = {"degC": "degc", "mm": "mm", "degree-days": "degree_days"}[quantity.unit]
    assert quantity.value.endswith(f"_{suffix}")
    if quantity.value in CLIMATE_LIMITS:
        assert CLIMATE_VARIABLES[CLIMATE_LIMITS[quantity.value]][0] == quantity.unit.casefold()
