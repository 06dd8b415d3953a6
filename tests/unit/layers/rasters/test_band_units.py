"""Expected numbers by the definitions: F = 1.8 C + 32, K = C + 273.15, 1 inch = 25.4 mm."""

import numpy as np
import pytest

from geo_scout.layers.rasters.band_units import kind_of_band
from geo_scout.model.land_limits import limits_of, unit_of
from geo_scout.model.quantities import CLIMATE_VARIABLES

CELSIUS = {"bio01": 9.0, "bio02": 12.0, "bio03": 35.0, "bio04": 810.0, "bio05": 29.0, "bio07": 34.0}
# A difference of 12 degC is one of 21.6 degF; the standard deviation times 100 likewise.
FAHRENHEIT = {"bio01": 48.2, "bio02": 21.6, "bio03": 35.0, "bio04": 1458.0, "bio05": 84.2, "bio07": 61.2}
KELVIN = {"bio01": 282.15, "bio02": 12.0, "bio03": 35.0, "bio04": 810.0, "bio05": 302.15, "bio07": 34.0}
TENTHS = {"bio01": 90.0, "bio02": 120.0, "bio03": 35.0, "bio04": 8100.0, "bio05": 290.0, "bio07": 340.0}


@pytest.mark.parametrize(
    ("unit", "stored"),
    [("degc", CELSIUS), ("degf", FAHRENHEIT), ("kelvin", KELVIN), ("tenths of degc", TENTHS)],
)
def test_temperatures_and_their_differences(folder, unit, stored):
    cells = np.array(list(stored.values()))[:, None, None] * np.ones((1, 2, 2))
    folder.write_raster("bioclim", cells, descriptions=tuple(stored))
    folder.layers["bioclim"]["units"] = {"temperature": unit}
    layers = folder.read()
    raster = layers.rasters["bioclim"]
    ours = [float(raster.values(np.array([value]), band)[0]) for band, value in enumerate(stored.values())]
    assert ours == pytest.approx(list(CELSIUS.values()), abs=1e-9)
    assert [one for one in layers.findings if one.code.startswith("unit")] == []


def test_tenths_are_not_taken_twice(folder, told, found):
    """200 x 0.1 is 20 degC; in tenths again it would be 2."""
    folder.write_raster("tmax", np.full((12, 2, 2), 200, dtype="int16"), scales=(0.1,) * 12)
    folder.layers["tmax"]["units"] = {"temperature": "tenths of degc"}
    assert told(folder.read(), "unit-twice") == (
        "stop: layers.tmax\n"
        "  the file says scale 0.1, which makes degrees of tenths, and the season says tenths of degc: together they "
        "make a hundredth of the number.\n"
        "  Fix: Take the `units` line out of this layer."
    )
    folder.layers["tmax"]["scale"] = 1.0
    layers = folder.read()
    assert found(layers, "unit-twice") == []
    assert layers.rasters["tmax"].values(np.array([200]), 0).tolist() == [20.0]


def test_the_unit_comes_after_scale_and_offset(folder):
    """2881 x 0.1 + 1 K is 289.1 K, 15.95 degC."""
    folder.write_raster(
        "tmax", np.full((12, 2, 2), 2881, dtype="int16"), scales=(0.1,) * 12, offsets=(1.0,) * 12
    )
    folder.layers["tmax"]["units"] = {"temperature": "kelvin"}
    assert folder.read().rasters["tmax"].values(np.array([2881]), 5).tolist() == pytest.approx([15.95])


@pytest.mark.parametrize(("unit", "stored"), [("mm", 63.5), ("cm", 6.35), ("inch", 2.5)])
def test_rain(folder, unit, stored):
    folder.write_raster("precipitation", np.full((12, 2, 2), stored))
    folder.layers["precipitation"]["units"] = {"precipitation": unit}
    assert folder.read().rasters["precipitation"].values(np.array([stored]), 3).tolist() == pytest.approx(
        [63.5]
    )


def test_a_unit_the_file_names_is_not_read_as_another(folder, told):
    folder.write_raster("tmin", np.full((12, 2, 2), 20.0), units=("degF",) * 12)
    layers = folder.read()
    assert not layers.has("tmin")
    assert told(layers, "unit-differs") == (
        "stop: layers.tmin\n"
        "  the file says tmin_01_degc is in 'degF'; it was read as degc, the default.\n"
        '  Fix: Add the one that is true: units = {temperature = "degf"}'
    )
    folder.layers["tmin"]["units"] = {"temperature": "degf"}
    assert folder.read().rasters["tmin"].values(np.array([50.0]), 0).tolist() == pytest.approx([10.0])


def test_a_unit_that_does_not_exist_stops(folder, told):
    folder.write_raster("bioclim", np.full((1, 2, 2), 9.0), descriptions=("bio1",))
    folder.layers["bioclim"]["units"] = {"temperature": "reaumur"}
    assert told(folder.read(), "unit-unknown") == (
        "stop: layers.bioclim\n"
        "  units = {temperature = 'reaumur'} is no unit of this layer.\n"
        "  Fix: It can be temperature = degc, degf, kelvin, tenths of degc; precipitation = mm, cm, inch."
    )


def test_every_variable_has_limits_and_a_unit_that_fits():
    for name, (unit, _) in CLIMATE_VARIABLES.items():
        least, most = limits_of(name)
        assert least < most
        assert (
            unit_of(name) == {"degc": "degC", "degc x 100": "degC x 100", "mm": "mm", "pct": "percent"}[unit]
        )
        assert (kind_of_band(name) == "precipitation") == (unit == "mm")
