import numpy as np
import pytest

MONTHS = [f"climate/tmin_{month}.tif" for month in range(1, 13)]


@pytest.fixture
def months(folder):
    (folder.folder / "climate").mkdir()
    for month, name in enumerate(MONTHS, start=1):
        folder.write_raster("x", np.full((2, 2), float(month)), file=name)
    folder.layers.clear()
    return folder


@pytest.mark.parametrize("given", [{"paths": MONTHS}, {"path": "climate/tmin_{month}.tif"}])
def test_twelve_files_are_twelve_bands(months, given):
    months.layers["tmin"] = given
    layers = months.read()
    raster = layers.rasters["tmin"]
    assert [path.name for path in raster.files] == [f"tmin_{month}.tif" for month in range(1, 13)]
    assert raster.bands[9] == "tmin_10_degc"
    assert raster.places == tuple((file, 1) for file in range(12))
    assert {"climate/tmin_1.tif", "climate/tmin_12.tif"} <= {file.name for file in layers.inputs}


def test_months_that_are_not_there(months, told):
    months.layers["tmin"] = {"path": "climate/tmin_{month:02}.tif"}
    (months.folder / MONTHS[10]).unlink()
    assert told(months.read(), "file-missing") == (
        "stop: layers.tmin\n"
        "  10 of its 12 files are not there: 'climate/tmin_01.tif', 'climate/tmin_02.tif', 'climate/tmin_03.tif', "
        "'climate/tmin_04.tif', 'climate/tmin_05.tif' and 5 more.\n"
        "  Fix: Check the spelling; the folder holds tmin_1.tif, tmin_10.tif, tmin_12.tif, tmin_2.tif, tmin_3.tif "
        "and 6 more."
    )


@pytest.mark.parametrize(
    ("number", "pattern", "other"),
    [("{month}", "{month:02}", "{month}"), ("{month:02}", "{month}", "{month:02}")],
)
def test_the_other_way_to_write_the_months_is_named_where_it_finds_them(folder, told, number, pattern, other):
    for month in range(1, 13):
        folder.write_raster("x", np.full((2, 2), 5.0), file=f"tmin_{number.format(month=month)}.tif")
    folder.layers = {"tmin": {"path": f"tmin_{pattern}.tif"}}
    text = told(folder.read(), "file-missing")
    # October to December are written alike in both.
    assert "  9 of its 12 files are not there: 'tmin_" in text
    assert text.endswith(f'  Fix: Write path = "tmin_{other}.tif", which finds all twelve.')


def test_a_folder_that_is_not_there_is_said(folder, told):
    folder.layers = {"tmin": {"path": "climate/tmin_{month}.tif"}}
    text = told(folder.read(), "file-missing")
    assert "  none of its 12 files is there: 'climate/tmin_1.tif', " in text
    assert text.endswith("  Fix: Check the spelling: there is no such folder, or nothing in it.")


def test_files_on_different_grids_stop(months, told):
    months.write_raster("x", np.full((2, 3), 5.0), file=MONTHS[3])
    months.layers = {"tmin": {"paths": MONTHS}}
    assert told(months.read(), "grids-differ") == (
        "stop: layers.tmin\n"
        "  its files lie on different grids: 'climate/tmin_1.tif' has 2 x 2 cells of 0.01 from -110.1, 47.1 in "
        "WGS 84, but 'climate/tmin_4.tif' has 3 x 2 cells of 0.01 from -110.1, 47.1 in WGS 84.\n"
        "  Fix: Warp them to one grid in your GIS; other layers may keep grids of their own."
    )


def test_one_file_with_more_than_a_month_stops(months, told):
    months.write_raster("x", np.full((2, 2, 2), 5.0), file=MONTHS[3])
    months.layers = {"tmin": {"paths": MONTHS}}
    assert told(months.read(), "band-count") == (
        "stop: layers.tmin\n"
        "  'climate/tmin_4.tif' has 2 bands; each of 12 files needs one.\n"
        "  Fix: Give files with one band each, or one file with all."
    )


@pytest.mark.parametrize(
    ("pattern", "names"),
    [
        ("{variable}.tif", ("bio05.tif", "bio12.tif")),
        ("{variable}.tif", ("bio5.tif", "BIO12.tif")),
        ("v_{variable}_30s.tif", ("v_5_30s.tif", "v_12_30s.tif")),
    ],
)
def test_bioclim_files_are_found_by_the_variable(folder, pattern, names):
    for name in names:
        folder.write_raster("x", np.full((2, 2), 20.0), file=name)
    folder.layers = {"bioclim": {"path": pattern}}
    raster = folder.read().rasters["bioclim"]
    assert raster.bands == ("bio05", "bio12")
    assert [path.name for path in raster.files] == list(names)


def test_two_files_of_one_variable_stop(folder, told):
    for name in ("bio5.tif", "bio05.tif"):
        folder.write_raster("x", np.full((2, 2), 20.0), file=name)
    folder.layers = {"bioclim": {"path": "{variable}.tif"}}
    assert told(folder.read(), "variable-twice") == (
        "stop: layers.bioclim\n"
        "  'bio05.tif' and 'bio5.tif' are both bio05.\n"
        "  Fix: Take one of the two out of the folder."
    )


def test_a_pattern_that_finds_nothing(folder, told):
    folder.layers = {"bioclim": {"path": "climate_{variable}.tif"}}
    assert told(folder.read(), "file-missing") == (
        "stop: layers.bioclim\n"
        "  no file is found by 'climate_{variable}.tif', with bio01, bio1, 01 or 1 for the first variable.\n"
        "  Fix: Check the spelling of `path`, or name the `paths`."
    )


@pytest.mark.parametrize("bands", [None, ["bio05", "bio12"]])
def test_separate_bioclim_files_are_named_by_bands_or_by_their_names(folder, bands):
    names = ["hot_bio_5.tif", "wet_bio_12.tif"] if bands is None else ["hot.tif", "wet.tif"]
    for name in names:
        folder.write_raster("x", np.full((2, 2), 20.0), file=name)
    folder.layers = {"bioclim": {"paths": names} | ({"bands": bands} if bands else {})}
    assert folder.read().rasters["bioclim"].bands == ("bio05", "bio12")


def test_a_damaged_file_of_many_is_named(months, told):
    (months.folder / MONTHS[6]).write_bytes(b"")
    months.layers = {"tmin": {"paths": MONTHS}}
    text = told(months.read(), "file-unreadable")
    assert text.startswith("stop: layers.tmin\n  'climate/tmin_7.tif' is empty: it has 0 bytes.\n")


def test_each_file_keeps_its_own_nodata_scale_and_offset(folder):
    folder.write_raster("x", np.array([[200, -1]], dtype="int16"), file="bio5.tif", nodata=-1, scales=(0.1,))
    folder.write_raster("x", np.array([[300.0, -9.0]]), file="bio12.tif", nodata=-9.0, offsets=(7.0,))
    folder.layers = {"bioclim": {"path": "{variable}.tif"}}
    raster = folder.read().rasters["bioclim"]
    assert raster.nodata == (-1.0, -9.0)
    assert raster.values(np.array([200, -1]), 0).tolist() == pytest.approx([20.0, np.nan], nan_ok=True)
    assert raster.values(np.array([300.0, -9.0]), 1).tolist() == pytest.approx([307.0, np.nan], nan_ok=True)
