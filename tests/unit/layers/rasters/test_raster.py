import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import CRS
from rasterio.transform import from_origin

ELEVATION = np.array([[900.0, 910.0, -9999.0], [905.0, 920.0, 930.0]], dtype="float32")


def test_description_is_what_rasterio_says(folder):
    path = folder.write_raster("elevation", ELEVATION, nodata=-9999.0)
    layers = folder.read()
    raster = layers.rasters["elevation"]
    with rasterio.open(path) as plain:
        assert raster.transform == plain.transform
        assert (raster.width, raster.height) == (plain.width, plain.height)
        assert raster.crs == CRS.from_user_input(plain.crs.to_wkt())
        masked = plain.read(1, masked=True)
        stored = plain.read(1)
    assert np.array_equal(raster.values(stored, 0), masked.astype(float).filled(np.nan), equal_nan=True)
    assert (raster.name, raster.files, raster.bands, raster.nodata) == (
        "elevation",
        (path,),
        ("elevation_m",),
        (-9999.0,),
    )
    assert layers.findings == ()


def test_feet_become_metres_exactly(folder):
    folder.write_raster("elevation", np.array([[3000.0]]), scales=(2.0,), offsets=(10.0,))
    folder.layers["elevation"]["vertical_unit"] = "ft"
    raster = folder.read().rasters["elevation"]
    assert raster.values(np.array([3000.0]), 0).tolist() == pytest.approx(
        [(2.0 * 3000.0 + 10.0) * 0.3048], rel=1e-15
    )


def test_file_in_feet_is_not_read_as_metres(folder, told):
    folder.write_raster("elevation", np.array([[3000.0]]), units=("ft",))
    layers = folder.read()
    assert not layers.has("elevation")
    assert told(layers, "vertical-unit") == (
        "stop: layers.elevation\n"
        "  the file says its elevation is in 'ft'; it was read as m, the default.\n"
        '  Fix: Add the one that is true: vertical_unit = "ft"'
    )
    folder.given = frozenset({"layers.elevation.vertical_unit"})
    assert folder.read().has("elevation")


def test_climate_cells_in_feet_ask_for_their_own_unit(folder, told):
    folder.write_raster("climate_elevation", np.array([[3000.0]]), units=("ft",))
    folder.given = frozenset({"layers.elevation.vertical_unit"})
    assert told(folder.read(), "vertical-unit").startswith("stop: layers.climate_elevation\n")
    folder.given = frozenset({"layers.climate_elevation.vertical_unit"})
    assert folder.read().has("climate_elevation")


def test_missing_reference_system(folder, told):
    folder.write_raster("elevation", ELEVATION, crs=None, nodata=-9999.0)
    layers = folder.read()
    assert not layers.has("elevation")
    assert "'elevation.tif' does not say which coordinate reference system" in told(layers, "missing-crs")
    folder.layers["elevation"]["crs"] = "EPSG:4326"
    assert folder.read().rasters["elevation"].crs.to_epsg() == 4326


@pytest.mark.parametrize(
    "transform",
    [
        Affine(0.0, 0.01, -110.0, 0.01, 0.0, 47.0),
        Affine(0.01, 0.002, -110.0, 0.002, -0.01, 47.0),
    ],
)
def test_turned_grids_stop(folder, told, transform):
    folder.write_raster("elevation", ELEVATION, transform=transform, nodata=-9999.0)
    assert told(folder.read(), "raster-turned") == (
        "stop: layers.elevation\n"
        "  the grid of 'elevation.tif' is turned: its columns do not run from west to east.\n"
        "  Fix: Warp it to a north-up grid in your GIS and save it as GeoTIFF."
    )


def test_columns_from_east_to_west_stop(folder, told):
    folder.write_raster("elevation", ELEVATION, transform=Affine(-0.01, 0.0, -110.0, 0.0, -0.01, 47.0))
    assert told(folder.read(), "raster-turned") == (
        "stop: layers.elevation\n"
        "  the columns of 'elevation.tif' run from east to west; they must run from west to east.\n"
        "  Fix: Warp it to a north-up grid in your GIS and save it as GeoTIFF."
    )


def test_raster_without_a_place(folder, told):
    with pytest.warns(rasterio.errors.NotGeoreferencedWarning):
        folder.write_raster("elevation", ELEVATION, crs=None, transform=Affine.identity())
    folder.layers["elevation"]["crs"] = "EPSG:4326"
    assert told(folder.read(), "raster-nowhere") == (
        "stop: layers.elevation\n"
        "  'elevation.tif' does not say where its cells lie.\n"
        "  Fix: Give it a position in your GIS and save it as GeoTIFF."
    )


@pytest.mark.parametrize(
    "transform",
    [
        Affine(0.01, 0.0, -110.0, 0.0, -0.01, 1e300),
        Affine(0.01, 0.0, float("nan"), 0.0, -0.01, 47.0),
        Affine(float("inf"), 0.0, -110.0, 0.0, -0.01, 47.0),
        Affine(1e-12, 0.0, -110.0, 0.0, -0.01, 47.0),
    ],
)
def test_grids_beyond_all_use_stop(folder, told, transform):
    folder.write_raster("elevation", ELEVATION, transform=transform, nodata=-9999.0)
    text = told(folder.read(), "raster-nowhere")
    assert text.startswith("stop: layers.elevation\n  the grid of 'elevation.tif' cannot be: its corner is ")


@pytest.mark.parametrize(
    ("transform", "said"),
    [
        # Metres of a UTM zone in a file that says degrees, and a raster with its axes swapped.
        (from_origin(588000.0, 5242000.0, 30.0, 30.0), "from 588000 to 588090 east and from 5.24194e+06"),
        (from_origin(47.0, -109.0, 0.01, 0.01), "from 47 to 47.03 east and from -109.02 to -109 north"),
        (from_origin(-180.0, 90.0, 400.0, 0.01), "from -180 to 1020 east and from 89.98 to 90 north"),
    ],
)
def test_degrees_that_are_not_on_the_earth_stop(folder, told, transform, said):
    folder.write_raster("elevation", ELEVATION, transform=transform, nodata=-9999.0)
    layers = folder.read()
    assert not layers.has("elevation")
    assert f"is in degrees (WGS 84) and would lie {said}" in told(layers, "raster-nowhere")


@pytest.mark.parametrize("west", [-180.5, -180.0, 0.0, 180.0])
def test_grids_around_the_earth_and_half_a_cell_beyond_its_poles_are_read(folder, west):
    cells = np.full((181, 361), 900.0, dtype="float32")
    folder.write_raster("elevation", cells, transform=from_origin(west, 90.5, 1.0, 1.0))
    assert folder.read().has("elevation")


def test_cells_a_mask_hides_are_not_looked_at_and_the_mask_is_known(folder):
    path = folder.write_raster("elevation", np.array([[900.0, 910.0, -9999.0]], dtype="float32"))
    assert not folder.read().has("elevation")  # the fill value stands there undeclared
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), rasterio.open(path, "r+") as dataset:
        dataset.write_mask(np.array([[255, 255, 0]], dtype="uint8"))
    layers = folder.read()
    assert layers.rasters["elevation"].has_mask
    assert layers.findings == ()


def test_pictures_stop(folder, told):
    folder.write_raster("elevation", np.full((4, 2, 2), 7, dtype="uint8"), photometric="RGB", alpha="YES")
    assert told(folder.read(), "raster-picture") == (
        "stop: layers.elevation\n"
        "  'elevation.tif' has a band of transparency, so it is a picture, not numbers of the ground.\n"
        "  Fix: Give the raster itself, without the alpha band."
    )


def test_rows_from_the_south_are_described_from_the_north(folder):
    path = folder.write_raster(
        "elevation", ELEVATION, transform=Affine(0.01, 0.0, -110.0, 0.0, 0.01, 46.98), nodata=-9999.0
    )
    raster = folder.read().rasters["elevation"]
    with rasterio.open(path) as plain:
        assert raster.file_transform == plain.transform
        assert raster.transform @ (0, 0) == (plain.bounds.left, max(plain.bounds.top, plain.bounds.bottom))
    assert raster.is_south_up
    assert raster.transform.e == -0.01


def test_complex_numbers_stop(folder, told):
    folder.write_raster("elevation", ELEVATION.astype("complex64"))
    assert "'elevation.tif' holds complex numbers." in told(folder.read(), "raster-complex")


def test_missing_raster(folder, told):
    folder.add("elevation", "dem.tif")
    assert "there is no file 'dem.tif' in the season file's folder." in told(folder.read(), "file-missing")


def test_each_band_keeps_its_own_nodata(folder):
    months = np.full((12, 2, 2), 5.0)
    path = folder.write_raster("tmin", months, nodata=-9999.0)
    names = "".join(
        f'<VRTRasterBand dataType="Float64" band="{band}"><NoDataValue>{-9999 - band}</NoDataValue>'
        f'<SimpleSource><SourceFilename relativeToVRT="1">{path.name}</SourceFilename>'
        f"<SourceBand>{band}</SourceBand></SimpleSource></VRTRasterBand>"
        for band in range(1, 13)
    )
    place = "<SRS>EPSG:4326</SRS><GeoTransform>-110.1, 0.01, 0.0, 47.1, 0.0, -0.01</GeoTransform>"
    text = f'<VRTDataset rasterXSize="2" rasterYSize="2">{place}{names}</VRTDataset>'
    (folder.folder / "tmin.vrt").write_text(text, encoding="utf-8")
    folder.add("tmin", "tmin.vrt")
    layers = folder.read()
    assert layers.rasters["tmin"].nodata == tuple(-9999.0 - band for band in range(1, 13))
    assert np.isnan(layers.rasters["tmin"].values(np.array([-10000.0]), 0)).all()
    # A virtual raster is made of other files; they are inputs as well.
    assert {"tmin.tif", "tmin.vrt"} <= {file.name for file in layers.inputs}


def test_side_file_with_more_than_statistics_is_said(folder, told, found):
    path = folder.write_raster("elevation", ELEVATION, nodata=-9999.0)
    beside = path.with_name("elevation.tif.aux.xml")
    beside.write_text("<PAMDataset><Metadata/></PAMDataset>", encoding="utf-8")
    assert found(folder.read(), "side-file-ignored") == []
    beside.write_text("<PAMDataset><SRS>EPSG:32612</SRS></PAMDataset>", encoding="utf-8")
    assert told(folder.read(), "side-file-ignored") == (
        "caution: layers.elevation\n"
        "  'elevation.tif.aux.xml' says more about the raster, but side files are not read.\n"
        "  Fix: Save the raster as one GeoTIFF, or state crs, scale and offset."
    )


@pytest.mark.parametrize("file", ["dem_FEET.tif", "ridge-ft.tif"])
def test_a_file_that_speaks_of_feet_is_doubted(folder, told, found, file):
    folder.write_raster("elevation", np.array([[3000.0]]), file=file)
    assert told(folder.read(), "vertical-unit") == (
        "caution: layers.elevation\n"
        f"  '{file}' speaks of feet by its name; its elevation was read as m, the default.\n"
        '  Fix: If it is in feet, add: vertical_unit = "ft"; if not, say so: vertical_unit = "m"'
    )
    folder.given = frozenset({"layers.elevation.vertical_unit"})
    assert found(folder.read(), "vertical-unit") == []


def test_foothills_are_no_feet(folder, found):
    folder.write_raster("elevation", np.array([[300.0]]), file="foothills_shift.tif")
    assert found(folder.read(), "vertical-unit") == []
