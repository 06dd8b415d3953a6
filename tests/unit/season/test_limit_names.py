import pytest

from geo_scout.season.limit_names import limit_meant

COLDEST, HOTTEST = "annual_extreme_min_degc", "annual_extreme_max_degc"


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("coldest_night_degc", COLDEST),
        ("extreme_min_degc", COLDEST),
        ("record_low_min", COLDEST),
        ("lowest_temperature_degc", COLDEST),
        ("Absolute minimum", COLDEST),
        ("hottest_day_degc", HOTTEST),
        ("extreme_max", HOTTEST),
        ("highest_degc", HOTTEST),
        ("coldest_month_min_degc", "mean_coldest_month_min_degc"),
        ("mean_warmest_month_degc", "mean_warmest_month_max_degc"),
        ("anual_precipitation_mm", "annual_precipitation_mm"),
        ("heat_sum_degreedays", "heat_sum_degree_days"),
    ],
)
def test_one_night_means_the_extreme_and_a_month_the_mean(name, meant):
    assert limit_meant(name).startswith(f"did you mean '{meant}'?")


def test_a_name_like_none_lists_them_all():
    advice = limit_meant("quux")
    assert advice.startswith("the limits are ")
    assert COLDEST in advice
    assert "heat_sum_degree_days" in advice
