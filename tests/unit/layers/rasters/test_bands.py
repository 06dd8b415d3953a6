import numpy as np
import pytest


def months(value=5.0, dtype="float32"):
    return np.full((12, 2, 2), value, dtype=dtype)


@pytest.mark.parametrize(("layer", "unit"), [("tmin", "degc"), ("tmax", "degc"), ("precipitation", "mm")])
def test_twelve_months_are_named(folder, layer, unit):
    folder.write_raster(layer, months())
    bands = folder.read().rasters[layer].bands
    assert bands[0] == f"{layer}_01_{unit}"
    assert bands[11] == f"{layer}_12_{unit}"
    assert len(bands) == 12


def test_other_number_of_bands_stops(folder, told):
    folder.write_raster("tmin", np.full((3, 2, 2), 5.0))
    assert told(folder.read(), "band-count") == (
        "stop: layers.tmin\n"
        "  'tmin.tif' has 3 bands; tmin needs 12 bands, January to December.\n"
        "  Fix: Give one file with 12 bands, January to December."
    )


def test_scale_and_offset_of_the_season_win_over_the_files(folder, found):
    folder.write_raster("tmin", months(50, "int16"), scales=(0.5,) * 12, offsets=(1.0,) * 12)
    assert folder.read().rasters["tmin"].values(np.array([50]), 11).tolist() == [26.0]
    folder.layers["tmin"] |= {"scale": 0.1, "offset": 0.0}
    layers = folder.read()
    assert layers.rasters["tmin"].values(np.array([50]), 0).tolist() == [5.0]
    assert [(one.grade, one.what) for one in found(layers, "scale-differs")] == [
        ("caution", "the file says scale 0.5, the season scale = 0.1; the season's was used."),
        ("caution", "the file says offset 1, the season offset = 0; the season's was used."),
    ]
    folder.layers["tmin"] |= {"scale": 0.5, "offset": 1.0}
    assert found(folder.read(), "scale-differs") == []


def test_scale_of_zero_stops(folder, told):
    folder.write_raster("tmin", months())
    folder.layers["tmin"]["scale"] = 0.0
    assert "scale = 0 turns every value into the same." in told(folder.read(), "scale-zero")


@pytest.mark.parametrize("names", [("BIO1", "bio_12"), ("mean BIO01", "Bio-12")])
def test_bioclim_bands_by_description(folder, names):
    folder.write_raster("bioclim", np.full((2, 2, 2), 5.0), descriptions=names)
    assert folder.read().rasters["bioclim"].bands == ("bio01", "bio12")


def test_bioclim_bands_by_setting(folder):
    folder.write_raster("bioclim", np.full((2, 2, 2), 5.0))
    folder.layers["bioclim"]["bands"] = ["bio05", "bio06"]
    assert folder.read().rasters["bioclim"].bands == ("bio05", "bio06")


@pytest.mark.parametrize(
    ("names", "sentence"),
    [
        ((None, "bio20"), "these bands of 'bioclim.tif' are not bio01 to bio19: '', 'bio20'."),
        (("bio1", "BIO01"), "a variable has more than one band in 'bioclim.tif': bio01, bio01."),
    ],
)
def test_bioclim_bands_without_names_stop(folder, told, names, sentence):
    folder.write_raster("bioclim", np.full((2, 2, 2), 5.0), descriptions=names)
    assert told(folder.read(), "bands-unnamed") == (
        f"stop: layers.bioclim\n  {sentence}\n"
        '  Fix: Name the bands in order, for instance: bands = ["bio01", "bio05", "bio06", "bio12"]'
    )


@pytest.mark.parametrize(
    "names", [("annual_extreme_max_degc",), ("Annual_Extreme_Min_degC", "annual_extreme_max_degc")]
)
def test_extremes_by_description(folder, names):
    folder.write_raster("extremes", np.full((len(names), 2, 2), 5.0), descriptions=names)
    assert folder.read().rasters["extremes"].bands == tuple(name.casefold() for name in names)


@pytest.mark.parametrize(
    ("names", "stated", "sentence"),
    [
        (
            (None, "coldest"),
            None,
            "these bands of 'extremes.tif' are not annual_extreme_min_degc, annual_extreme_max_degc: '', 'coldest'.",
        ),
        (
            ("annual_extreme_min_degc",) * 2,
            None,
            "an extreme has more than one band in 'extremes.tif': annual_extreme_min_degc, annual_extreme_min_degc.",
        ),
        ((None, None), ["annual_extreme_min_degc"], "`bands` names 1 band; 'extremes.tif' has 2."),
    ],
)
def test_extremes_without_names_stop(folder, told, names, stated, sentence):
    folder.write_raster("extremes", np.full((2, 2, 2), 5.0), descriptions=names)
    if stated:
        folder.layers["extremes"]["bands"] = stated
    assert told(folder.read(), "band-names") == (
        f"stop: layers.extremes\n  {sentence}\n  Fix: Name the bands in order, for instance: "
        'bands = ["annual_extreme_min_degc", "annual_extreme_max_degc"]'
    )


def test_number_of_names_has_to_fit(folder, told):
    folder.write_raster("bioclim", np.full((2, 2, 2), 5.0))
    folder.layers["bioclim"]["bands"] = ["bio05"]
    assert "`bands` names 1 band; 'bioclim.tif' has 2." in told(folder.read(), "bands-unnamed")


@pytest.mark.parametrize(
    ("scale", "offset", "said"),
    [
        (0.0, 0.0, "scale 0 and offset 0"),
        (float("nan"), 0.0, "scale nan and offset 0"),
        (1.0, float("inf"), "scale 1 and offset inf"),
    ],
)
def test_a_scale_of_the_file_that_leaves_nothing_stops(folder, told, scale, offset, said):
    folder.write_raster("elevation", np.full((4, 4), 900.0), scales=(scale,), offsets=(offset,))
    assert told(folder.read(), "scale-unusable") == (
        "stop: layers.elevation\n"
        f"  'elevation.tif' states {said}, which leave nothing of its values.\n"
        "  Fix: State the true ones in the season file, for instance: scale = 1.0 and offset = 0.0"
    )
    folder.layers["elevation"] |= {"scale": 1.0, "offset": 0.0}
    assert folder.read().has("elevation")
