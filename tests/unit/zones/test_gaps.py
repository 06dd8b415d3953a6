import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from geo_scout.zones.gaps import FIRST, find_gaps
from geo_scout.zones.read import read_zones

# 110.9 W 47 N in zone 12: easting 507,600 m or so; the raster has 3 x 2 cells of 10 m there.
WEST, NORTH = 500_000.0, 5_205_000.0


def zones(shapes, kind="patch", owner="ashthorn"):
    index = pd.MultiIndex.from_tuples([(kind, owner, f"A-{n}") for n in range(1, len(shapes) + 1)])
    return gpd.GeoDataFrame(geometry=shapes, index=index, crs=32612)


def cell(row, column, width=10.0):
    east, south = WEST + 10.0 * column, NORTH - 10.0 * (row + 1)
    return shapely.box(east, south, east + width, south + 10.0)


def raster(files, folder, name="elevation", cells=((1.0, 2.0, -9.0), (3.0, 4.0, 5.0)), **keys):
    stored = np.array(cells) if name == "elevation" else np.tile(np.array(cells), (12, 1, 1))
    return files.write_raster(folder, stored, name, west=WEST, north=NORTH, nodata=-9.0, **keys)


@pytest.fixture
def season(books):
    return books.season(books.agent())


def texts(findings):
    return [finding.text() for finding in findings]


def test_a_site_with_every_cell_says_nothing(files, tmp_path, season):
    rasters = {"elevation": raster(files, tmp_path)}
    places = zones([cell(0, 0), cell(1, 2)])
    assert find_gaps(read_zones(rasters, places), places, rasters, season) == ()


def test_outside_on_nodata_and_in_part(files, tmp_path, season):
    """The third site covers half a cell without a value and half a cell with one below it."""
    rasters = {"elevation": raster(files, tmp_path)}
    partly = shapely.box(WEST + 22, NORTH - 12, WEST + 28, NORTH - 8)
    places = zones([cell(0, 40), cell(0, 2), partly])
    findings = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert texts(findings) == [
        "caution: layers.elevation feature A-1\n"
        "  the site lies outside the raster.\n"
        "  Fix: Give a raster that reaches this far.",
        "caution: layers.elevation feature A-2\n"
        "  the raster has no value anywhere on the site.\n"
        "  Fix: Look at the raster there; fill the gap, or do without this measure.",
        "caution: layers.elevation feature A-3\n"
        "  50.0 percent of the site lies where the raster has no value.\n"
        "  Fix: Nothing, if the rest may stand for the whole: the mean is taken over the part with a value.",
    ]
    east, north = gpd.GeoSeries([partly.centroid], crs=32612).to_crs(4326).iloc[0].coords[0]
    assert findings[2].longitude_deg == pytest.approx(east, abs=1e-6)
    assert findings[2].latitude_deg == pytest.approx(north, abs=1e-6)


def test_a_quarter_is_a_note_and_a_hair_is_nothing(files, tmp_path, season):
    rasters = {"elevation": raster(files, tmp_path)}
    quarter = shapely.box(
        WEST + 12, NORTH - 4, WEST + 21, NORTH - 2
    )  # 1 m of 9 m lies on the cell without one
    hair = shapely.box(WEST + 12, NORTH - 4, WEST + 20.05, NORTH - 2)
    places = zones([quarter, hair])
    [finding] = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert (finding.grade, finding.feature) == ("note", "A-1")
    assert finding.what == "11.1 percent of the site lies where the raster has no value."


def test_rasters_with_the_same_gap_share_a_finding(files, tmp_path, season):
    names = ("tmin", "tmax", "precipitation")
    rasters = {name: raster(files, tmp_path, name, cells=[[1.0, 2.0, -9.0]]) for name in names}
    places = zones([cell(0, 2)])
    [finding] = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert finding.layer == "tmin"
    assert finding.what == "the raster has no value anywhere on the site (tmin and tmax and precipitation)."


def test_a_population_outside(files, tmp_path, season):
    rasters = {"elevation": raster(files, tmp_path)}
    places = zones([shapely.Point(WEST - 500, NORTH)], kind="population", owner="stem weevil")
    [finding] = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert finding.what == "the population lies outside the raster."


def test_a_raster_of_another_country_is_one_finding_however_many_sites(files, tmp_path, season):
    cells = np.ones((2, 3))
    far = files.write_raster(tmp_path, cells, west=20.0, north=50.0, cell=0.1, crs=files.DEGREES)
    places = zones([cell(0, n) for n in range(5)])
    [finding] = find_gaps(read_zones({"elevation": far}, places), places, {"elevation": far}, season)
    # 5 m east of 111 W, the middle of zone 12: 5 m / (cos 47 deg x 111,320 m per degree) = 0.00007 degrees; north by PROJ.
    assert finding.text() == (
        "caution: layers.elevation\n"
        "  no site and no population lies inside the raster, which reaches from 20 to 20.3 east and from 49.8 to 50 "
        "north; A-1 is at -110.99993, 46.99848.\n"
        "  Fix: Give a raster of the season's area, or mend its reference system."
    )


def test_a_raster_without_a_value_for_any_site_is_one_finding(files, tmp_path, season):
    """One site lies on the cell without a value, the other one outside."""
    rasters = {"elevation": raster(files, tmp_path)}
    places = zones([cell(0, 2), cell(0, 40)])
    [finding] = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert finding.text() == (
        "caution: layers.elevation\n"
        "  the raster has no value on any of 2 sites and populations.\n"
        "  Fix: Look at the raster and the sites on a map, and check its nodata value."
    )


def test_more_than_a_hundred_are_counted(files, tmp_path, season):
    rasters = {"elevation": raster(files, tmp_path)}
    places = zones([*(cell(0, 40 + n) for n in range(FIRST + 7)), cell(0, 0)])
    findings = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert len(findings) == FIRST + 1
    assert findings[-1].what == "the same of 7 more: A-101 and those after it."
    assert findings[-1].longitude_deg is None


def test_known_populations_without_a_climate(files, books, tmp_path):
    """The first states all, the second lies on the raster, the third states one of two, the fourth none."""
    known = [
        {"name": "Gorge", "climate": {"bio01": 9.0, "bio02": 11.0}},
        {"name": "On the raster", "longitude_deg": -110.99993, "latitude_deg": 46.99795},
        {"name": "Old ground", "climate": {"bio02": 12.0}},
        {"name": "Far coast", "longitude_deg": 12.5, "latitude_deg": 41.9},
    ]
    season = books.season(books.agent(climate={"variables": ["bio01", "bio02"]}, known_populations=known))
    rasters = {"bioclim": files.write_raster(tmp_path, np.full((2, 20, 20), 9.0), "bioclim", west=WEST - 100,
                                             north=NORTH + 100)}  # fmt: skip
    points = gpd.GeoSeries(gpd.points_from_xy([-110.99993, 12.5], [46.99795, 41.9]), crs=4326).to_crs(32612)
    index = pd.MultiIndex.from_tuples(
        [
            ("patch", "ashthorn", "A-1"),
            *(("known population", books.AGENT, name) for name in ("On the raster", "Far coast")),
        ]
    )
    places = gpd.GeoDataFrame(geometry=[cell(0, 0), *points], index=index, crs=32612)
    findings = find_gaps(read_zones(rasters, places), places, rasters, season)
    assert [finding.feature for finding in findings] == ["Old ground", "Far coast"]
    assert findings[0].text() == (
        "caution: layers.bioclim feature Old ground\n"
        "  known population 'Old ground' of stem weevil has no bio01: neither stated in the profile nor in the raster "
        "at its place, so it is left out of the climate gap.\n"
        "  Fix: State it under the population: climate = {bio01 = ...}, with its source."
    )
    assert (findings[1].longitude_deg, findings[1].latitude_deg) == (12.5, 41.9)
