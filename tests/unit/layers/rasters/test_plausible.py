import numpy as np
import pytest


@pytest.mark.parametrize(
    ("value", "sentence", "fix"),
    [
        (
            278.0,
            "tmin_01_degc runs from 278 to 278 degC where it was looked at; no land has less than -90 or more "
            "than 60 degC, and 4 cells of 4 are beyond. It looks like Kelvin.",
            'If so, add: units = {temperature = "kelvin"}',
        ),
        (
            85.0,
            "tmin_01_degc runs from 85 to 85 degC where it was looked at; no land has less than -90 or more "
            "than 60 degC, and 4 cells of 4 are beyond. It looks like Fahrenheit.",
            'If so, add: units = {temperature = "degf"}',
        ),
        (
            -120.0,
            "tmin_01_degc runs from -120 to -120 degC where it was looked at; no land has less than -90 or more "
            "than 60 degC, and 4 cells of 4 are beyond. It looks like tenths of a degree.",
            'If so, add: units = {temperature = "tenths of degc"}, or the scale that is true.',
        ),
    ],
)
def test_temperatures_no_place_has(folder, told, value, sentence, fix):
    folder.write_raster("tmin", np.full((12, 2, 2), value))
    layers = folder.read()
    assert not layers.has("tmin")
    assert told(layers, "unit-impossible") == f"stop: layers.tmin\n  {sentence}\n  Fix: {fix}"


def test_bioclim_in_tenths_stops_whatever_its_first_band(folder, told):
    """5 degC a year is 50 in tenths and could be 50 degC but for the hottest month."""
    cells = np.stack([np.full((2, 2), 40.0), np.full((2, 2), 265.0)])
    folder.write_raster("bioclim", cells, descriptions=("bio01", "bio05"))
    text = told(folder.read(), "unit-impossible")
    assert "bio05 runs from 265 to 265 degC" in text
    assert "It looks like tenths of a degree." in text


def test_stated_scale_settles_it(folder, found):
    folder.write_raster("tmin", np.full((12, 2, 2), 278.0))
    folder.layers["tmin"]["offset"] = -273.15
    assert found(folder.read(), "unit-impossible") == []


def test_negative_rain_and_impossible_heights(folder, found):
    folder.write_raster("precipitation", np.full((12, 2, 2), -3.0))
    folder.write_raster("elevation", np.array([[9500.0, 20.0]]))
    stops = {finding.layer: finding.what for finding in found(folder.read(), "unit-impossible")}
    assert stops == {
        "elevation": "elevation_m runs from 20 to 9500 m where it was looked at; no land has less than -500 or "
        "more than 9000 m, and 1 cell of 2 is beyond.",
        "precipitation": "precipitation_01_mm runs from -3 to -3 mm where it was looked at; no land has less "
        "than 0 or more than 5000 mm, and 4 cells of 4 are beyond.",
    }


def test_a_few_bad_cells_are_a_caution(folder, told):
    cells = np.full((32, 32), 900.0)
    cells[3, 4] = 30_000.0
    folder.write_raster("elevation", cells)
    layers = folder.read()
    assert layers.has("elevation")
    assert told(layers, "unit-doubtful") == (
        "caution: layers.elevation\n"
        "  elevation_m runs from 900 to 30000 m where it was looked at; no land has less than -500 or more than "
        "9000 m, and 1 cell of 1,024 is beyond.\n"
        '  Fix: If it is in feet, add: vertical_unit = "ft"; else state the scale, or declare the nodata value.'
    )


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
    assert "elevation_m runs from 900 to 12000 m" in told(folder.read(), "unit-doubtful")
