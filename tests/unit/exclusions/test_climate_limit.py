import re

import numpy as np
import pytest

from geo_scout.exclusions.climate_limit import exclude_climate_limit


def limited(books, value, variable="bio06", **limits):
    profile = books.agent(climate={"limits": limits})
    return list(exclude_climate_limit(books.book(books.site(), profile=profile, climate={variable: [value]})))


def test_colder_than_the_lowest_value_names_quantity_limit_and_source(books):
    limit = {"least": -15.0, "source": "Mallow 2019, table 2"}
    [found] = limited(books, -16.25, mean_coldest_month_min_degc=limit)
    assert found.code == "climate-limit"
    assert found.sentence == (
        "mean_coldest_month_min_degc is -16.25 degC here; the lowest the profile allows is -15 degC "
        "(Mallow 2019, table 2)."
    )
    assert found.remedy == "A limit of -16.25 degC in the profile would bring it back."
    assert (found.measured, found.limit, found.unit) == (-16.25, -15.0, "degc")


def test_more_rain_than_the_highest_value(books):
    [found] = limited(books, 900.5, "bio12", annual_precipitation_mm={"most": 800.0})
    assert found.sentence == (
        "annual_precipitation_mm is 900.50 mm here; the highest the profile allows is 800 mm."
    )


@pytest.mark.parametrize(
    ("value", "count"), [(-15.0, 0), (-15.001, 1), (30.0, 0), (30.001, 1), (0.0, 0), (np.nan, 0)]
)
def test_the_limits_themselves_are_bearable_and_a_missing_value_does_not_exclude(books, value, count):
    limit = {"least": -15.0, "most": 30.0}
    assert len(limited(books, value, mean_coldest_month_min_degc=limit)) == count


@pytest.mark.parametrize(("value", "side"), [(-15.00123, "least"), (30.00123, "most")])
def test_the_printed_limit_brings_the_site_back(books, value, side):
    limit = {"least": -15.0, "most": 30.0}
    [found] = limited(books, value, mean_coldest_month_min_degc=limit)
    moved = {**limit, side: float(re.search(r"limit of (-?[0-9.]+)", found.remedy)[1])}
    assert limited(books, value, mean_coldest_month_min_degc=moved) == []


def test_a_limit_is_compared_with_its_own_quantity_only(books):
    # A daily extreme is not the mean of the coldest month; without a layer nothing is compared.
    assert limited(books, -40.0, annual_extreme_min_degc={"least": -15.0}) == []
    assert limited(books, -40.0, "bio01", mean_coldest_month_min_degc={"least": -15.0}) == []
