import numpy as np
import pytest

ROWS = [("2026-03-01", 1, 5), ("2026-03-02", 2, 6)]


@pytest.mark.parametrize("sign", ["NA", "nan", "M", "-", "-9999", "-999.9", "9999.0", "null"])
def test_a_sign_for_missing_is_missing_and_said(daily, said, sign):
    weather, noticed = daily([*ROWS, ("2026-03-03", sign, 7)])
    assert np.isnan(weather.days["tmin_degc"]).tolist() == [False, False, True]
    assert said(noticed, "missing-sign") == (
        f"note: tmin is '{sign}' in 1 row: taken as missing. | Leave a cell empty where nothing was measured."
    )


def test_signs_are_read_before_the_unit(daily):
    """-9999 in tenths would be -999.9 degC."""
    weather, noticed = daily(
        [("2026-03-01", 10, 50), ("2026-03-02", -9999, 60)], units={"temperature": "tenths of degc"}
    )
    assert np.isnan(weather.days["tmin_degc"]).tolist() == [False, True]
    assert noticed.findings[0].code == "missing-sign"


def test_99_degrees_below_zero_is_no_weather_but_nine_is(daily):
    weather, _ = daily([("2026-03-01", -9, 5), ("2026-03-02", "-99", 5)])
    assert weather.days["tmin_degc"].iloc[0] == -9.0
