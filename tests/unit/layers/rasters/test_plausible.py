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
            'If so, add: units = {temperature = "degf"}; if it is tenths of a degree: units = {temperature = "tenths of '
            'degc"}',
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


def test_a_continental_year_in_tenths_is_no_fahrenheit(folder, told):
    """-10 to 10 degC is -100 to 100 in tenths; in Fahrenheit it would begin at -73 degC."""
    folder.write_raster("tmin", np.linspace(-100.0, 100.0, 12)[:, None, None] * np.ones((1, 2, 2)))
    assert "It looks like tenths of a degree." in told(folder.read(), "unit-impossible")


def test_a_bad_cell_among_good_ones_looks_like_no_other_unit(folder, told):
    cells = np.full((12, 40, 40), 5.0)
    cells[0, 0, 0] = 900.0
    folder.write_raster("tmin", cells)
    assert told(folder.read(), "unit-doubtful").endswith(
        "is beyond.\n  Fix: State the unit or the scale that makes it true, or declare the nodata value in your GIS."
    )


@pytest.mark.parametrize(
    ("layer", "cells", "bands"),
    [
        # 12 months of 1.2, and a year of 14.4: inches, as 365.8 mm would be.
        ("precipitation", np.full((12, 2, 2), 1.2), ()),
        ("bioclim", np.full((1, 2, 2), 14.4), ("bio12",)),
    ],
)
def test_the_rain_of_a_desert_is_doubted(folder, told, found, layer, cells, bands):
    folder.write_raster(layer, cells, descriptions=bands or ("",) * 12)
    layers = folder.read()
    assert layers.has(layer)
    assert told(layers, "rain-doubtful") == (
        f"caution: layers.{layer}\n"
        "  a year's precipitation is 14.4 mm in the middle of the cells looked at; only deserts have less than 100 mm. "
        "It looks like inches or centimetres.\n"
        '  Fix: If so, add: units = {precipitation = "inch"} or "cm". Nothing, if it is a desert.'
    )
    folder.layers[layer]["units"] = {"precipitation": "inch"}
    assert found(folder.read(), "rain-doubtful") == []


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


def test_a_raster_of_nothing_but_zeros_is_said(folder, told):
    folder.write_raster("elevation", np.zeros((4, 4), dtype="int16"))
    assert told(folder.read(), "raster-zero") == (
        "caution: layers.elevation\n"
        "  every cell that was looked at is 0.\n"
        "  Fix: Look at the raster on a map: it may be empty, or 0 may stand for missing."
    )


def test_large_raster_is_looked_at_all_over(folder, told):
    cells = np.full((400, 400), 900.0, dtype="float32")
    cells[390:, 390:] = 12_000.0
    folder.write_raster("elevation", cells)
    assert "elevation_m runs from 900 to 12000 m" in told(folder.read(), "unit-doubtful")


@pytest.mark.parametrize(("number", "grade"), [(1, "caution"), (200, "stop")])
def test_infinite_cells_are_missing_and_said(folder, told, number, grade):
    cells = np.full(1024, 900.0)
    cells[:number] = np.inf
    folder.write_raster("elevation", cells.reshape(32, 32))
    layers = folder.read()
    assert layers.has("elevation") is (grade == "caution")
    verbs = ("value", "is", "was") if number == 1 else ("values", "are", "were")
    assert told(layers, "values-infinite") == (
        f"{grade}: layers.elevation\n"
        f"  {number} {verbs[0]} of 1,024 looked at {verbs[1]} infinite, and {verbs[2]} read as missing.\n"
        "  Fix: Declare the value that stands for missing cells as nodata in your GIS, or state the true scale."
    )
    if grade == "caution":
        assert np.isnan(layers.rasters["elevation"].values(cells, 0)).sum() == number


def test_a_scale_that_makes_every_value_infinite_stops(folder, told):
    folder.write_raster("elevation", np.full((4, 4), 900.0), scales=(1e308,))
    assert told(folder.read(), "values-infinite").startswith("stop: layers.elevation\n  16 values of 16")
