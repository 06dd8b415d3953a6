"""Zonal means against exactextract band by band, rasterstats, and areas cut out by shapely."""

import importlib.util
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from exactextract import exact_extract
from exactextract.raster import RasterioRasterSource
from pyproj import CRS, Transformer
from rasterstats import zonal_stats

from geo_scout.zones.read import read_zones

HEIGHT, WIDTH, BANDS = 37, 50, 3
# Cells of 10 m or 0.01 degrees; the corner lies off the origin so that no symmetry hides a shift.
GRIDS = {"projected": (32612, 500_000.0, 5_200_000.0, 10.0), "geographic": (4326, -110.3, 47.2, 0.01)}


def load_files():
    path = Path(__file__).parents[1] / "raster_files.py"
    spec = importlib.util.spec_from_file_location("raster_files", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FILES = load_files()


def blob(random, centre, size):
    """Return a star-shaped polygon with uneven rays."""
    angle = np.sort(random.uniform(0, 2 * np.pi, 11))
    rays = size * random.uniform(0.4, 1.0, 11)
    return shapely.Polygon(np.c_[centre[0] + rays * np.cos(angle), centre[1] + rays * np.sin(angle)])


def random_zones(grid):
    """Return polygons of every awkward kind, in the coordinates of a grid."""
    epsg, west, north, cell = GRIDS[grid]
    random = np.random.default_rng(20261101)

    def somewhere():
        return west + random.uniform(0, WIDTH) * cell, north - random.uniform(0, HEIGHT) * cell

    small = [blob(random, somewhere(), 0.3 * cell) for _ in range(40)]
    large = [blob(random, somewhere(), random.uniform(1, 9) * cell) for _ in range(60)]
    holed = [one.difference(one.centroid.buffer(0.4 * cell)) for one in large[:20]]
    several = [shapely.union_all([blob(random, somewhere(), 2 * cell) for _ in range(3)]) for _ in range(20)]
    edge = [
        blob(random, (west + column * cell, north - row * cell), 4 * cell)
        for row, column in [(0, 0), (HEIGHT, 0), (0, WIDTH), (HEIGHT, WIDTH), (18, 0), (18, WIDTH), (0, 25)]
    ]
    shapes = [one.buffer(0) for one in [*small, *large, *holed, *several, *edge]]
    return gpd.GeoDataFrame(geometry=[one for one in shapes if not one.is_empty], crs=epsg)


@pytest.fixture(params=list(GRIDS))
def grid(request):
    return request.param


@pytest.fixture
def raster(tmp_path, grid):
    """Three bands of noise on a slope, a tenth of the cells and one whole corner missing, tiled."""
    epsg, west, north, cell = GRIDS[grid]
    random = np.random.default_rng(7)
    row, column = np.mgrid[:HEIGHT, :WIDTH]
    cells = random.normal(50, 20, (BANDS, HEIGHT, WIDTH)) + 3.0 * column + 0.5 * row
    cells[:, random.uniform(size=(HEIGHT, WIDTH)) < 0.1] = -9999.0
    cells[:, 30:, 40:] = -9999.0
    return FILES.write_raster(
        tmp_path, cells, "bioclim", west=west, north=north, cell=cell, nodata=-9999.0,
        crs=CRS.from_epsg(epsg), tiled=True, blockxsize=16, blockysize=16,
    )  # fmt: skip


def exact_means(raster, zones, grid):
    """Return exactextract's own means, one call per band, (bands, zones)."""
    operation = "mean(coverage_weight=area_spherical_m2)" if grid == "geographic" else "mean"
    with rasterio.open(raster.files[0]) as file:
        answers = [
            exact_extract(RasterioRasterSource(file, band), zones, [operation], output="pandas")
            for band in range(1, BANDS + 1)
        ]
    return np.array([answer.iloc[:, 0].to_numpy(dtype=float) for answer in answers])


def test_means_agree_with_exactextract_called_for_each_band(raster, grid):
    """Same cells, same weights, other order of the sums: 1e-6 of values around 100."""
    zones = random_zones(grid)
    table = read_zones({"bioclim": raster}, zones)
    expected = exact_means(raster, zones, grid)
    assert np.isfinite(expected).any(axis=0).sum() > 100
    assert np.isnan(expected).any()
    for band, name in enumerate(("bio01", "bio02", "bio03")):
        np.testing.assert_allclose(table.mean[name], expected[band], rtol=1e-6, atol=1e-6)


def test_zones_given_in_another_system_agree_once_they_are_brought_to_the_grid(raster, grid):
    zones = random_zones(grid)
    centre = zones.to_crs(4326).union_all().centroid
    working = zones.to_crs(f"+proj=laea +lat_0={round(centre.y)} +lon_0={round(centre.x)} +datum=WGS84")
    table = read_zones({"bioclim": raster}, working)
    expected = exact_means(raster, working.to_crs(zones.crs), grid)
    np.testing.assert_allclose(table.mean["bio02"], expected[1], rtol=1e-6, atol=1e-6)


def cell_shapes(raster):
    """Return every cell as a polygon, row by row."""
    column, row = (one.ravel() for one in np.meshgrid(np.arange(raster.width), np.arange(raster.height)))
    step, west, north = raster.transform.a, raster.transform.c, raster.transform.f
    return shapely.box(
        west + column * step, north - (row + 1) * step, west + (column + 1) * step, north - row * step
    )


@pytest.mark.parametrize("grid", ["projected"], indirect=True)
def test_means_and_valid_shares_agree_with_areas_cut_out_by_shapely(raster, grid):
    """No program but shapely: every cell is intersected with every zone. exactextract's single-precision
    fractions allow 1e-5 of values around 100; a share is as good as the fractions."""
    zones = random_zones(grid)
    boxes = cell_shapes(raster)
    with rasterio.open(raster.files[0]) as file:
        values = file.read(1).ravel()
    areas = np.array([shapely.area(shapely.intersection(boxes, shape)) for shape in zones.geometry])
    valid = areas * (values != -9999.0)
    table = read_zones({"bioclim": raster}, zones)
    has_value = valid.sum(axis=1) > 1e-9
    np.testing.assert_allclose(
        table.mean["bio01"].to_numpy()[has_value],
        (valid @ values)[has_value] / valid.sum(axis=1)[has_value],
        rtol=1e-5,
    )
    assert table.mean["bio01"][~has_value].isna().all()
    np.testing.assert_allclose(
        table.valid_share["bioclim"], valid.sum(axis=1) / shapely.area(zones.geometry.to_numpy()), atol=1e-5
    )


@pytest.mark.parametrize("grid", ["projected"], indirect=True)
def test_against_the_centre_rule_the_difference_is_stated_and_bounded(raster, grid):
    """rasterstats counts a cell whole when its centre lies inside, and not at all otherwise.

    Both answers are weighted means of the same cells, so they differ by at most the spread of those cells
    times half the sum of the absolute differences between the two sets of weights. Where no centre
    lies inside, rasterstats has no answer and we have one.
    """
    zones = random_zones(grid)
    table = read_zones({"bioclim": raster}, zones)
    boxes = cell_shapes(raster)
    with rasterio.open(raster.files[0]) as file:
        band, affine = file.read(1), file.transform
    answers = zonal_stats(list(zones.geometry), band, affine=affine, nodata=-9999.0, stats=["mean"])
    values, centres = band.ravel(), shapely.centroid(boxes)
    unanswered, differences = 0, []
    for shape, ours, theirs in zip(zones.geometry, table.mean["bio01"], answers, strict=True):
        covered = shapely.area(shapely.intersection(boxes, shape)) * (values != -9999.0)
        central = shapely.contains(shape, centres) & (values != -9999.0)
        if theirs["mean"] is None:
            unanswered += bool(np.isfinite(ours))
            continue
        cells = (covered > 0) | central
        weight_gap = np.abs(covered / covered.sum() - central / central.sum()).sum() / 2
        bound = np.ptp(values[cells]) * weight_gap
        assert abs(ours - theirs["mean"]) <= bound + 1e-4
        differences.append(abs(ours - theirs["mean"]))
    assert unanswered > 20  # most of the forty zones smaller than a cell
    assert max(differences) > 1.0  # the rules do differ


def test_the_centre_rule_and_ours_agree_on_whole_cells(tmp_path):
    cells = np.arange(12.0).reshape(3, 4)
    raster = FILES.write_raster(tmp_path, cells, north=30.0)
    zone = shapely.box(10, 0, 40, 20)
    table = read_zones({"elevation": raster}, gpd.GeoDataFrame(geometry=[zone], crs=raster.crs))
    [answer] = zonal_stats([zone], cells, affine=raster.transform, nodata=-1, stats=["mean"])
    assert table.mean["elevation_m"][0] == answer["mean"] == 8.0  # 5 6 7 / 9 10 11


def test_three_by_three_by_hand(tmp_path):
    """1 2 3 / 4 5 6 / 7 8 9 in cells of 10 m.

    Below the diagonal: half of 1, 5 and 9, all of 4, 7 and 8: (0.5 + 2.5 + 4.5 + 4 + 7 + 8) / 4.5.
    The box from (5, 5) to (15, 25): quarters of 1 2 7 8, halves of 4 5: (18 / 4 + 9 / 2) / 2 = 4.5.
    A square metre inside the cell of 6: 6.
    """
    raster = FILES.write_raster(tmp_path, np.arange(1.0, 10.0).reshape(3, 3), north=30.0)
    shapes = [
        shapely.Polygon([(0, 0), (30, 0), (0, 30)]),
        shapely.box(5, 5, 15, 25),
        shapely.box(24, 14, 25, 15),
    ]
    table = read_zones({"elevation": raster}, gpd.GeoDataFrame(geometry=shapes, crs=raster.crs))
    assert table.mean["elevation_m"].tolist() == pytest.approx([26.5 / 4.5, 4.5, 6.0], rel=1e-9)


def test_a_column_of_degree_cells_by_the_sines_of_their_latitudes(tmp_path):
    """On the sphere the area between two latitudes goes as the difference of their sines."""
    values = np.arange(1.0, 8.0)[:, None]
    raster = FILES.write_raster(tmp_path, values, west=10.0, north=70.0, cell=10.0, crs=FILES.DEGREES)
    zone = gpd.GeoDataFrame(geometry=[shapely.box(10, 0, 20, 70)], crs=4326)
    table = read_zones({"elevation": raster}, zone)
    sines = np.sin(np.radians(np.arange(70.0, -1.0, -10.0)))
    areas = sines[:-1] - sines[1:]
    expected = (areas * values[:, 0]).sum() / areas.sum()
    assert table.mean["elevation_m"][0] == pytest.approx(expected, rel=1e-6)
    assert abs(expected - 4.0) > 0.5  # unweighted it would be 4


def test_climate_cells_of_rasters_on_different_grids_agree_with_sampling_their_points(tmp_path):
    """Temperatures in degrees, rain on a plane: rain is taken at the centres of the cells of tmin."""
    random = np.random.default_rng(11)
    tmin = random.normal(0, 8, (12, 20, 24))
    degrees = {"west": -110.1, "north": 47.1, "cell": 0.01, "crs": FILES.DEGREES}
    rain = random.uniform(5, 80, (12, 40, 40))
    to_utm = Transformer.from_crs(4326, 32612, always_xy=True)
    west_m, north_m = to_utm.transform(-110.12, 47.12)
    rasters = {
        "tmin": FILES.write_raster(tmp_path, tmin, "tmin", **degrees),
        "tmax": FILES.write_raster(tmp_path, tmin + 9.0, "tmax", **degrees),
        "precipitation": FILES.write_raster(
            tmp_path, rain, "precipitation", west=west_m, north=north_m, cell=600.0
        ),
    }
    zone = shapely.box(-110.055, 46.955, -109.985, 47.015)
    table = read_zones(rasters, gpd.GeoDataFrame(geometry=[zone], crs=4326))
    # The zone covers columns 4 to 11 (half of each outer one) and rows 8 to 14.
    row, column = (one.ravel() for one in np.mgrid[8:15, 4:12])
    assert len(table.climate_cells) == len(row)
    np.testing.assert_allclose(table.climate_cells["bio06"], tmin[:, row, column].min(axis=0))
    points = to_utm.transform(-110.1 + (column + 0.5) * 0.01, 47.1 - (row + 0.5) * 0.01)
    with rasterio.open(rasters["precipitation"].files[0]) as file:
        sampled = np.array(list(file.sample(zip(*points, strict=True))))
    np.testing.assert_allclose(table.climate_cells["bio12"], sampled.sum(axis=1))
    assert table.touches.toarray().tolist() == [[1.0] * len(row)]
