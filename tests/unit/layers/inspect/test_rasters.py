import pytest

from geo_scout.layers.inspect.raster_guesses import guess_raster_settings
from geo_scout.layers.inspect.raster_sets import group_rasters
from geo_scout.layers.inspect.rasters_guessed import assign_rasters

MONTHS = [f"{month:02d}" for month in range(1, 13)]


def kinds(*rasters):
    layers, _ = assign_rasters(rasters)
    return {layer.kind: [one.path.name for one in layer.rasters] for layer in layers}


@pytest.mark.parametrize(
    "pattern",
    [
        "tmin_{}.tif",
        "tmin{}.tif",
        "wc2.1_30s_tmin_{}.tif",
        "x_tmin_30yr_normal_4kmM2_{}_bil.bil",
        "{}_tmin.tif",
    ],
)
def test_twelve_months_belong_together_in_their_order(raster, pattern):
    files = [raster(pattern.format(month), -10, 10) for month in MONTHS]
    (group,) = group_rasters(list(reversed(files)))
    assert [one.path.name for one in group] == [pattern.format(month) for month in MONTHS]


def test_months_by_name_and_without_leading_zeros(raster):
    names = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
    assert kinds(*[raster(f"tmax_{name}.tif") for name in sorted(names)]) == {
        "tmax": [f"tmax_{name}.tif" for name in names]
    }
    assert kinds(*[raster(f"ppt_{month}.tif") for month in (10, 11, 12, *range(1, 10))]) == {
        "precipitation": [f"ppt_{month}.tif" for month in range(1, 13)]
    }


def test_eleven_months_are_no_year(raster):
    assert kinds(*[raster(f"tmin_{month}.tif") for month in MONTHS[:11]]) == {}


def test_bioclimatic_files_come_in_the_order_of_their_numbers(raster):
    files = [raster(f"wc2.1_10m_bio_{number}.tif", 0, 900) for number in (12, 1, 5)]
    layers, _ = assign_rasters(files)
    assert [one.path.name for one in layers[0].rasters] == [
        f"wc2.1_10m_bio_{number}.tif" for number in (1, 5, 12)
    ]
    bands = next(setting for setting in layers[0].settings if setting.key == "bands")
    assert bands.value == ["bio01", "bio05", "bio12"]


def test_one_file_of_twelve_bands_is_told_by_its_name_or_its_bands(raster):
    named = raster("tmin.tif", bands=12)
    described = raster("a.tif", bands=12, descriptions=("January mean daily maximum",) * 12)
    assert kinds(named, described) == {"tmin": ["tmin.tif"], "tmax": ["a.tif"]}
    assert kinds(raster("unnamed.tif", bands=12)) == {}


def test_elevation_is_one_band_of_possible_heights(raster):
    assert kinds(raster("dem.tif", 300, 2200)) == {"elevation": ["dem.tif"]}
    assert kinds(raster("dem.tif", -5000, 9e6)) == {}
    # A lone band of no name: possible, and said to be named by nothing.
    layers, _ = assign_rasters([raster("grid7.tif", 300, 2200)])
    assert ("nothing names it" in layers[0].evidence, layers[0].score) == (True, 0.65)


def test_the_better_named_raster_is_used_and_the_other_is_told(raster):
    layers, unused = assign_rasters([raster("grid7.tif", 300, 2200), raster("dem.tif", 300, 2200)])
    assert [layer.path.name for layer in layers] == ["dem.tif"]
    assert unused[0].why == "it looks like elevation too, but dem.tif looks more like it."


GRID, FINE = (
    (10.0, 10.0, 0.1, 0.0, -110.0, 0.0, -0.1, 48.0),
    (999.0, 999.0, 0.01, 0.0, -110.0, 0.0, -0.01, 48.0),
)


def test_heights_of_climate_cells_are_told_by_their_name(raster):
    ground, climate = raster("elevation.tif", 300, 2200), raster("climate_elevation.tif", 900, 1900)
    for files in ((ground, climate), (climate, ground)):
        assert kinds(*files) == {
            "elevation": ["elevation.tif"],
            "climate_elevation": ["climate_elevation.tif"],
        }
    named_by_band = raster("z.tif", 900, 1900, descriptions=("mean elevation of the climate cell [m]",))
    assert kinds(named_by_band) == {"climate_elevation": ["z.tif"]}


def test_heights_of_climate_cells_are_told_by_the_cells_they_share_with_the_climate(raster):
    coarse, fine = raster("a_elev.tif", 900, 1900, grid=GRID), raster("dem.tif", 300, 2200, grid=FINE)
    tmin = raster("tmin.tif", bands=12, grid=GRID)
    found = {"elevation": ["dem.tif"], "tmin": ["tmin.tif"], "climate_elevation": ["a_elev.tif"]}
    assert kinds(coarse, fine, tmin) == kinds(fine, tmin, coarse) == found
    # A lone raster of heights is the ground's: there is nothing finer to bring climate to.
    assert kinds(coarse, tmin) == {"elevation": ["a_elev.tif"], "tmin": ["tmin.tif"]}
    assert guessed("climate_elevation", coarse) == {"vertical_unit": ("m", True)}


def test_yearly_extremes_are_told_by_their_bands_or_their_files(raster):
    ours = raster(
        "c.tif", -40, 38, bands=2, descriptions=("annual_extreme_min_degc", "annual_extreme_max_degc")
    )
    assert kinds(ours) == {"extremes": ["c.tif"]}
    assert guessed("extremes", ours) == {}
    named = raster("extremes.tif", -40, 38, bands=2, descriptions=("highest [degC]", "lowest [degC]"))
    assert guessed("extremes", named) == {
        "bands": (["annual_extreme_max_degc", "annual_extreme_min_degc"], False)
    }
    files = raster("extreme_max.tif", 20, 38), raster("extreme_min.tif", -40, -20)
    assert kinds(*files) == {"extremes": ["extreme_min.tif", "extreme_max.tif"]}
    assert guessed("extremes", *reversed(files)) == {
        "bands": (["annual_extreme_min_degc", "annual_extreme_max_degc"], False),
        "units.temperature": ("degc", True),
    }


def test_extremes_that_do_not_say_which_are_asked_about(raster):
    assert guessed("extremes", raster("extremes.tif", -40, 38, bands=2)) == {
        "bands": (["?", "?"], True),
        "units.temperature": ("degc", True),
    }
    assert kinds(raster("extreme_rainfall.tif", 5, 90)) == {}


def guessed(kind, *group):
    return {
        setting.key: (setting.value, bool(setting.question)) for setting in guess_raster_settings(kind, group)
    }


def test_heights_are_metres_or_feet_as_the_file_says(raster):
    assert guessed("elevation", raster("dem.tif", units=("ft",))) == {"vertical_unit": ("ft", False)}
    assert guessed("elevation", raster("dem_metres.tif")) == {"vertical_unit": ("m", False)}
    assert guessed("elevation", raster("dem.tif")) == {"vertical_unit": ("m", True)}


def test_heights_on_a_grid_of_feet_must_be_answered(raster):
    assert guessed("elevation", raster("dem.tif", is_crs_in_feet=True)) == {"vertical_unit": ("?", True)}


@pytest.mark.parametrize(
    ("least", "most", "unit"),
    [
        (-15, 31, "degc"),
        (-145, 307, "tenths of degc"),
        (20, 307, "tenths of degc"),
        (14, 95, "?"),
        (253, 305, "?"),
    ],
)
def test_temperatures_by_their_range(raster, least, most, unit):
    assert guessed("tmax", raster("tmax.tif", least, most, bands=12)) == {"units.temperature": (unit, True)}


def test_temperatures_the_file_explains_need_no_question(raster):
    assert guessed("tmax", raster("tmax.tif", -15, 31, bands=12, is_scaled=True)) == {}
    named = raster("tmax.tif", 14, 95, bands=12, units=("degF",) * 12)
    assert guessed("tmax", named) == {"units.temperature": ("degf", False)}
    assert guessed("tmax", raster("tmax.tif", bands=12, descriptions=("mean [degC]",) * 12)) == {}


def test_rain_in_mm_is_guessed_and_inches_are_asked_about(raster):
    assert guessed("precipitation", raster("p.tif", 5, 90, bands=12)) == {"units.precipitation": ("mm", True)}
    assert guessed("precipitation", raster("p.tif", 0.2, 4, bands=12)) == {"units.precipitation": ("?", True)}


def test_a_raster_without_a_system_is_asked_for_one(raster):
    assert guessed("tmax", raster("tmax.tif", bands=12, crs="", is_scaled=True)) == {"crs": ("?", True)}
