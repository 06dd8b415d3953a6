import numpy as np
import pytest


@pytest.mark.parametrize(
    ("value", "sentence", "fix"),
    [
        (
            278.0,
            "tmin_01_degc is 278.0 degC on average, which no place has; it looks like Kelvin.",
            "If so, add: offset = -273.15; if it is tenths of a degree: scale = 0.1",
        ),
        (
            -120.0,
            "tmin_01_degc is -120.0 degC on average, which no place has; it looks like tenths of a degree.",
            "If so, add: scale = 0.1",
        ),
    ],
)
def test_temperatures_no_place_has(folder, told, value, sentence, fix):
    folder.write_raster("tmin", np.full((12, 2, 2), value))
    layers = folder.read()
    assert layers.has("tmin")
    assert told(layers, "unit-doubtful") == f"caution: layers.tmin\n  {sentence}\n  Fix: {fix}"


def test_stated_scale_settles_it(folder, found):
    folder.write_raster("tmin", np.full((12, 2, 2), 278.0))
    folder.layers["tmin"]["offset"] = -273.15
    assert found(folder.read(), "unit-doubtful") == []


def test_negative_rain_and_impossible_heights(folder, found):
    folder.write_raster("precipitation", np.full((12, 2, 2), -3.0))
    folder.write_raster("elevation", np.array([[9500.0, 20.0]]))
    doubts = {finding.layer: finding.what for finding in found(folder.read(), "unit-doubtful")}
    assert doubts == {
        "elevation": "elevation runs from 20 to 9500 m, which no land has.",
        "precipitation": "precipitation_01_mm runs from -3 to -3 mm, which no month has.",
    }


@pytest.mark.parametrize("fill", [-9999.0, -3.4028234663852886e38])
def test_fill_value_that_is_not_declared_stops(folder, told, fill):
    folder.write_raster("elevation", np.array([[900.0, fill]], dtype="float32"))
    layers = folder.read()
    assert not layers.has("elevation")
    text = told(layers, "nodata-undeclared")
    assert text.startswith(
        f"stop: layers.elevation\n  the smallest stored value is {fill:g}, which usually means missing;"
    )


def test_blank_raster_is_said(folder, told):
    folder.write_raster("elevation", np.full((4, 4), -9999.0), nodata=-9999.0)
    assert told(folder.read(), "raster-blank") == (
        "caution: layers.elevation\n"
        "  no cell with a value was found where it was looked at.\n"
        "  Fix: Look at the raster on a map; check its nodata value."
    )


def test_large_raster_is_looked_at_all_over(folder, told):
    cells = np.full((400, 400), 900.0, dtype="float32")
    cells[390:, 390:] = 12_000.0
    folder.write_raster("elevation", cells)
    assert "elevation runs from 900 to 12000 m" in told(folder.read(), "unit-doubtful")
