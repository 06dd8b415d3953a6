import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin
from scipy.io import netcdf_file

AGAIN = "  Fix: Copy or download it again, or export it anew; the disk may have been full."


@pytest.mark.parametrize(
    ("content", "what", "fix"),
    [
        (b"", "'elevation.tif' is empty: it has 0 bytes.", AGAIN),
        (
            b"not a raster",
            "'elevation.tif' is no raster in a format that can be read, whatever its name says.",
            "  Fix: Give the raster itself; a GIS saves it as GeoTIFF.",
        ),
        (
            b"<!DOCTYPE html><title>Sign in</title>",
            "'elevation.tif' is a web page, by its first bytes, and no raster.",
            "  Fix: Download it again: what was saved is a server's answer, perhaps its page to sign in.",
        ),
    ],
)
def test_what_is_no_raster_is_named(folder, told, content, what, fix):
    (folder.folder / "elevation.tif").write_bytes(content)
    folder.add("elevation", "elevation.tif")
    assert told(folder.read(), "file-unreadable") == f"stop: layers.elevation\n  {what}\n{fix}"


def _rough(folder, **profile):
    cells = np.random.default_rng(1).normal(900.0, 50.0, (400, 400)).astype("float32")
    return folder.write_raster("elevation", cells, transform=from_origin(-110, 47, 0.001, 0.001), **profile)


def test_a_file_cut_short_is_found_where_it_is_looked_at(folder, told):
    path = _rough(folder)
    path.write_bytes(path.read_bytes()[:200_000])
    text = told(folder.read(), "raster-unreadable")
    # Rows are 1,600 bytes; the windows begin in rows 0, 92, 184, 276 and 368, and row 124 is the first cut off.
    assert text.startswith(
        "stop: layers.elevation\n  'elevation.tif' cannot be read at column 0, row 92: it is cut short or damaged. "
    )
    assert text.endswith(AGAIN)


def test_a_file_cut_short_within_its_head_is_said(folder, told):
    path = _rough(folder, compress="deflate")
    path.write_bytes(path.read_bytes()[:100])
    assert told(folder.read(), "file-unreadable").startswith(
        "stop: layers.elevation\n  'elevation.tif' begins like a TIFF, but is cut short or damaged: "
    )


def test_a_virtual_raster_of_a_lost_file_stops(folder, told):
    text = (
        '<VRTDataset rasterXSize="2" rasterYSize="2"><SRS>EPSG:4326</SRS><GeoTransform>-110, 0.01, 0, 47, 0, -0.01'
        '</GeoTransform><VRTRasterBand dataType="Float32" band="1"><SimpleSource><SourceFilename relativeToVRT="1">'
        "tiles/part.tif</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand></VRTDataset>"
    )
    (folder.folder / "elevation.vrt").write_text(text, encoding="utf-8")
    folder.add("elevation", "elevation.vrt")
    assert told(folder.read(), "raster-parts-missing") == (
        "stop: layers.elevation\n"
        "  'elevation.vrt' points to 1 file that is not there: 'tiles/part.tif'.\n"
        "  Fix: Put the file there, or make the virtual raster anew."
    )


def test_container_of_rasters_stops(folder, told):
    # A NetCDF file with two variables is a container: its rasters have names of their own.
    with netcdf_file(folder.folder / "climate.nc", "w") as stream:
        stream.createDimension("row", 2)
        stream.createDimension("column", 2)
        for name in ("tmin", "tmax"):
            stream.createVariable(name, "f4", ("row", "column"))[:] = 5.0
    folder.add("elevation", "climate.nc")
    assert told(folder.read(), "raster-empty") == (
        "stop: layers.elevation\n"
        "  'climate.nc' holds 2 rasters and no band of its own: tmin, tmax.\n"
        "  Fix: Save the one this layer needs as GeoTIFF, in your GIS or by: gdal_translate "
        'NETCDF:"climate.nc":tmin tmin.tif'
    )


def test_blocks_of_more_than_half_a_gigabyte_are_not_looked_into(folder, told):
    """16,384 x 16,384 cells of 4 bytes are 1.07 GB."""
    path = folder.folder / "elevation.tif"
    side = {"width": 1_000_000, "height": 1_000_000, "blockxsize": 16_384, "blockysize": 16_384}
    place = {"crs": "EPSG:4326", "transform": from_origin(-180, 90, 0.00036, 0.00018)}
    tiles = {"tiled": True, "sparse_ok": True, "bigtiff": "YES"}
    with rasterio.open(path, "w", driver="GTiff", count=1, dtype="float32", **side, **place, **tiles):
        pass
    assert path.stat().st_size < 100_000
    folder.add("elevation", "elevation.tif")
    assert told(folder.read(), "raster-blocks") == (
        "stop: layers.elevation\n"
        "  'elevation.tif' keeps its 1,000,000 x 1,000,000 cells in blocks of 16,384 x 16,384: 1.1 GB for every look "
        "at one of them.\n"
        "  Fix: Save it in tiles, in your GIS or by: gdal_translate -co TILED=YES -co COMPRESS=DEFLATE -co "
        'BIGTIFF=YES "elevation.tif" tiles.tif'
    )


def test_a_table_of_colours_is_no_quantity(folder, told):
    path = folder.write_raster("elevation", np.full((2, 2), 7, dtype="uint8"))
    with rasterio.open(path, "r+") as dataset:
        dataset.write_colormap(1, {number: (number, 0, 0) for number in range(256)})
    assert told(folder.read(), "raster-picture") == (
        "stop: layers.elevation\n"
        "  'elevation.tif' has a table of colours, so its numbers stand for colours or classes.\n"
        "  Fix: Give the raster of the quantity itself; where its numbers are the quantity, take the colours out in "
        "your GIS."
    )
