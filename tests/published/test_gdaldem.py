"""Slope, aspect and relative position against gdaldem on a real elevation model.

Frozen values came from gdaldem of GDAL 3.6.2 (Debian 12, package gdal-bin); where the program is installed it is
run as well, over whole rasters.
"""

import importlib.util
import shutil
import subprocess
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from exactextract import exact_extract
from geographiclib.geodesic import Geodesic
from pyproj import Proj, Transformer
from scipy.ndimage import gaussian_filter

from geo_scout.formulas.terrain import aspect_deg, horn_gradient, slope_deg
from geo_scout.formulas.terrain_position import relative_position_m
from geo_scout.model.zones import TerrainAsked
from geo_scout.zones.read import read_zones

needs_gdaldem = pytest.mark.skipif(
    shutil.which("gdaldem") is None, reason="gdaldem is not installed (apt-get install gdal-bin)"
)
SHAPE = TerrainAsked(frozenset({"slope_deg"}))

# Row, column, slope [deg], aspect [deg], height above the mean of the eight neighbours [m]; aspect -9999 where
# gdaldem finds the ground flat. The elevations, whole metres in 344 rows of 403, were written to a GeoTIFF as they
# are, with square cells of 90 m in EPSG:32616:
#   gdaldem slope dem.tif slope.tif; gdaldem aspect dem.tif aspect.tif; gdaldem TPI dem.tif tpi.tif
FROZEN = [
    (230, 323, 8.83973, 287.1404, 4.625),
    (8, 324, 20.3746, 214.6409, 1.125),
    (161, 207, 4.21673, 183.2397, 0.875),
    (216, 115, 17.06506, 15.4825, 2.5),
    (335, 22, 6.4512, 117.8241, -1.0),
    (96, 154, 21.00012, 108.5661, 7.125),
    (196, 164, 10.89616, 45.5846, 8.75),
    (45, 19, 6.51458, 41.0548, 8.5),
    (1, 20, 11.46288, 180.0, 5.875),
    (51, 401, 1.53034, 62.1027, -7.5),
    (164, 365, 33.75993, 6.682, -24.125),
]


def load_model():
    path = Path(__file__).parents[1] / "elevation_model.py"
    spec = importlib.util.spec_from_file_location("elevation_model", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MODEL = load_model()


def gdaldem(kind, path, *options):
    """Return what gdaldem makes of a raster; nan where it gives no value."""
    answer = path.with_name(f"{path.stem}_{kind}.tif")
    subprocess.run(["gdaldem", kind, str(path), str(answer), "-q", *options], check=True)
    with rasterio.open(answer) as file:
        return np.where(file.read_masks(1) == 0, np.nan, file.read(1).astype(float))


def turned(a_deg, b_deg):
    """Return how far two directions are apart [deg]."""
    return np.abs((np.asarray(a_deg) - b_deg + 180.0) % 360.0 - 180.0)


def downhill(slope, aspect):
    """Return the east and north parts of the fall; a flat cell has none, whatever its aspect."""
    fall = np.tan(np.radians(slope))
    return fall * np.sin(np.radians(aspect)), fall * np.cos(np.radians(aspect))


@pytest.fixture(scope="module")
def projected(tmp_path_factory):
    return MODEL.write_projected(tmp_path_factory.mktemp("dem") / "projected.tif")


@pytest.mark.parametrize(("row", "column", "slope", "aspect", "position_m"), FROZEN)
def test_frozen_cells(row, column, slope, aspect, position_m):
    # Half a unit of the last digit printed here.
    window = MODEL.elevations_m()[row - 1 : row + 2, column - 1 : column + 2]
    dz_dx, dz_dy = (one[1, 1] for one in horn_gradient(window, 90.0, 90.0))
    assert slope_deg(dz_dx, dz_dy) == pytest.approx(slope, abs=6e-6)
    assert aspect_deg(dz_dx, dz_dy) == pytest.approx(aspect, abs=6e-5)
    centre = np.array([1])
    assert relative_position_m(window, centre, centre, (1, 1))[0] == pytest.approx(position_m, abs=1e-9)


@needs_gdaldem
def test_every_cell_of_the_model_in_whole_metres(tmp_path):
    """Sums of whole metres are exact in 32 bits: slope and aspect of all 137,000 cells, however flat."""
    cells = MODEL.elevations_m()
    raster = MODEL.write(
        tmp_path / "metres.tif", cells, Affine(90.0, 0, 750_000, 0, -90.0, 4_040_000), "EPSG:32616"
    )
    dz_dx, dz_dy = horn_gradient(cells.astype(float), 90.0, 90.0)
    slope, aspect = (one[1:-1, 1:-1] for one in (slope_deg(dz_dx, dz_dy), aspect_deg(dz_dx, dz_dy)))
    their_slope, their_aspect = (gdaldem(kind, raster.files[0])[1:-1, 1:-1] for kind in ("slope", "aspect"))
    # Required is 0.001 deg; 2e-6 and 3e-5 were measured.
    assert np.abs(slope - their_slope).max() < 1e-5
    is_flat = slope == 0.0
    np.testing.assert_array_equal(np.isnan(their_aspect), is_flat)
    assert turned(aspect[~is_flat], their_aspect[~is_flat]).max() < 1e-4
    assert (~is_flat).sum() > 136_000


@needs_gdaldem
def test_every_cell_of_the_projected_model(projected):
    """gdaldem takes the plane for the ground, as the plain formula does with cells of 90 m."""
    with rasterio.open(projected.files[0]) as file:
        elevation = projected.values(file.read(1), 0)
    dz_dx, dz_dy = horn_gradient(elevation, projected.transform.a, -projected.transform.e)
    slope, aspect = slope_deg(dz_dx, dz_dy), aspect_deg(dz_dx, dz_dy)
    for one in (slope, aspect):
        one[[0, -1]], one[:, [0, -1]] = np.nan, np.nan
    their_slope, their_aspect = gdaldem("slope", projected.files[0]), gdaldem("aspect", projected.files[0])
    np.testing.assert_array_equal(np.isnan(slope), np.isnan(their_slope))
    assert np.isfinite(slope).sum() > 100_000
    # Required is 0.001 deg; gdaldem works with floats of 32 bits, and 6e-5 deg was measured.
    assert np.nanmax(np.abs(slope - their_slope)) < 2e-4
    # Where the ground is all but flat, 32 bits blur the direction, so directions count by how steep they are ...
    there = np.isfinite(their_aspect)
    for ours, theirs in zip(
        downhill(slope[there], aspect[there]), downhill(their_slope[there], their_aspect[there]), strict=True
    ):
        assert np.abs(ours - theirs).max() < 5e-6
    # ... and the steeper the ground, the nearer they are: 0.0016, 0.0013 and 0.0004 deg were measured.
    for least_deg, count, most_deg in ((1.0, 115_000, 0.003), (2.0, 110_000, 0.002), (5.0, 90_000, 0.001)):
        steep = there & (slope >= least_deg)
        assert steep.sum() > count
        assert turned(aspect[steep], their_aspect[steep]).max() < most_deg


@needs_gdaldem
def test_the_height_above_the_eight_neighbours_is_gdaldem_tpi(projected):
    with rasterio.open(projected.files[0]) as file:
        elevation = projected.values(file.read(1), 0)
    theirs = gdaldem("TPI", projected.files[0])
    cells = np.argwhere(np.isfinite(theirs))
    ours = relative_position_m(elevation, *cells.T, (1, 1))
    # Floats of 32 bits hold these elevations to 6e-5 m.
    assert np.abs(ours - theirs[tuple(cells.T)]).max() < 3e-4


@needs_gdaldem
def test_zones_of_one_cell_are_gdaldem_corrected_for_the_projection(projected):
    """Ours is on the ground and from true north: gdaldem, its fall by the point scale, turned by the convergence.

    Scale and convergence are those pyproj gives for UTM (an independent route from differences of positions).
    """
    generator = np.random.default_rng(1)
    their_slope, their_aspect = gdaldem("slope", projected.files[0]), gdaldem("aspect", projected.files[0])
    cells = np.argwhere((their_slope > 2.0) & np.isfinite(their_aspect))
    cells = cells[generator.choice(len(cells), 500, replace=False)]
    grid = projected.transform
    easting, northing = grid * (cells[:, ::-1] + 0.5).T
    squares = shapely.box(easting - 30, northing - 30, easting + 30, northing + 30)
    table = read_zones(
        {"elevation": projected}, gpd.GeoDataFrame(geometry=squares, crs=projected.crs), SHAPE
    ).mean
    longitude, latitude = Transformer.from_crs(projected.crs, 4326, always_xy=True).transform(
        easting, northing
    )
    factors = Proj(projected.crs).get_factors(longitude, latitude)
    theirs = their_slope[tuple(cells.T)]
    on_ground = np.degrees(np.arctan(np.tan(np.radians(theirs)) * factors.meridional_scale))
    assert np.abs(table["slope_deg"] - on_ground).max() < 0.001
    assert np.abs(table["slope_deg"] - theirs).max() < 0.02  # the scale is 1.0004 here
    turn = turned(table["aspect_deg"], their_aspect[tuple(cells.T)] + factors.meridian_convergence)
    assert turn.max() < 0.01
    assert factors.meridian_convergence.min() > 1.5  # so that the turn is seen


@needs_gdaldem
def test_means_of_zones_against_exactextract_of_gdaldem(projected):
    """gdaldem is told the scale of the middle of the raster; it differs by 1e-4 to the sides, 0.003 deg of slope."""
    middle = shapely.Point(projected.transform * (projected.width / 2, projected.height / 2))
    longitude, latitude = Transformer.from_crs(projected.crs, 4326, always_xy=True).transform(
        middle.x, middle.y
    )
    scale = Proj(projected.crs).get_factors(longitude, latitude).meridional_scale
    slope = gdaldem("slope", projected.files[0], "-s", f"{1 / scale:.9f}")
    answer = projected.files[0].with_name("scaled.tif")
    MODEL.write(
        answer, np.nan_to_num(slope, nan=MODEL.NODATA).astype(np.float32), projected.transform, "EPSG:32616"
    )
    generator = np.random.default_rng(2)
    centres = np.add(generator.uniform(-9000, 9000, (40, 2)), [middle.x, middle.y])
    shapes = shapely.buffer(shapely.points(centres), generator.uniform(20, 900, 40), quad_segs=3)
    zones = gpd.GeoDataFrame(geometry=shapes, crs=projected.crs)
    ours = read_zones({"elevation": projected}, zones, SHAPE).mean["slope_deg"]
    theirs = exact_extract(str(answer), zones, ["mean"], output="pandas")["mean"]
    np.testing.assert_allclose(ours, theirs, atol=0.004)


@needs_gdaldem
@pytest.mark.parametrize("row", [1, 171, 342])
def test_rows_of_the_geographic_model_are_gdaldem_with_their_own_cell_sizes(tmp_path, row):
    """The same elevations relabelled as a plane with the cell sizes geographiclib measures at one row's latitude."""
    cells = MODEL.elevations_m()
    latitude = MODEL.GEOGRAPHIC.f - (row + 0.5) * MODEL.CELL_DEG
    half = MODEL.CELL_DEG / 2
    width_m = Geodesic.WGS84.Inverse(latitude, -half, latitude, half)["s12"]
    height_m = Geodesic.WGS84.Inverse(latitude - half, 0, latitude + half, 0)["s12"]
    plane = MODEL.write(tmp_path / "plane.tif", cells, Affine(width_m, 0, 0, 0, -height_m, 0), "EPSG:32616")
    slope, aspect = (gdaldem(kind, plane.files[0])[row, 1:-1] for kind in ("slope", "aspect"))
    raster = MODEL.write(tmp_path / "degrees.tif", cells, MODEL.GEOGRAPHIC, "EPSG:4326")
    longitudes = MODEL.GEOGRAPHIC.c + (np.arange(1, cells.shape[1] - 1) + 0.5) * MODEL.CELL_DEG
    points = gpd.GeoDataFrame(
        geometry=shapely.points(longitudes, np.full(len(longitudes), latitude)), crs=4326
    )
    ours = read_zones({"elevation": raster}, points, SHAPE).mean
    assert np.abs(ours["slope_deg"] - slope).max() < 0.001
    np.testing.assert_array_equal(np.isnan(ours["aspect_deg"]), np.isnan(aspect))
    # gdaldem takes the direction from differences between cells, as if they were square.
    east, north = np.sin(np.radians(aspect)) / width_m, np.cos(np.radians(aspect)) / height_m
    is_sloping = np.isfinite(aspect)
    assert turned(ours["aspect_deg"], np.degrees(np.arctan2(east, north)))[is_sloping].max() < 0.001


@needs_gdaldem
def test_a_geographic_model_is_as_steep_as_the_projected_one(tmp_path):
    """One degree is not 111,120 m eastwards: gdaldem with that scale makes this ground 11 % too gentle.

    The model is smoothed first, because carrying rough ground over to other cells makes it gentler by itself.
    """
    smooth_m = gaussian_filter(MODEL.elevations_m().astype(np.float32), 6.0)
    raster = MODEL.write(tmp_path / "degrees.tif", smooth_m, MODEL.GEOGRAPHIC, "EPSG:4326")
    projected = MODEL.write_projected(tmp_path / "projected.tif", smooth_m)
    zone = gpd.GeoDataFrame(geometry=[shapely.box(-84.40, 36.17, -84.09, 36.43)], crs=4326)
    ours = read_zones({"elevation": raster}, zone, SHAPE).mean["slope_deg"][0]

    def mean(path, *options):
        gdaldem("slope", path, *options)
        answer = path.with_name(f"{path.stem}_slope.tif")
        with rasterio.open(answer) as file:
            there = zone.to_crs(file.crs.to_wkt())
        return exact_extract(str(answer), there, ["mean"], output="pandas")["mean"][0]

    # Bilinear resampling still smooths a little: 0.34 % was measured.
    assert ours == pytest.approx(mean(projected.files[0]), rel=0.005)
    assert mean(raster.files[0], "-s", "111120") < 0.92 * ours
