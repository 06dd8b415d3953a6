"""A stranger's folder of unlike files, all invented: a shapefile in feet, a spreadsheet's CSV, a GeoPackage, rasters."""

import csv
from pathlib import Path

import geopandas as gpd
import numpy as np
import rasterio
import shapely
from pyproj import Transformer
from rasterio.transform import from_bounds

WEST, SOUTH, EAST, NORTH = -109.70, 47.00, -109.50, 47.20
FEET = "EPSG:2256"
# 660 ft x 660 ft is ten acres, by the definition of the acre as 43,560 square feet.
SIDE_FT = 660.0
PATCHES = [
    # longitude, latitude, weed, cover in percent, survey day, permission
    (-109.660, 47.060, "Ashthorn", 35, "06/03/2025", "Yes"),
    (-109.640, 47.090, "Ashthorn", 60, "06/03/2025", "Yes"),
    (-109.610, 47.120, "ashthorn", 15, "07/04/2025", "No"),
    (-109.560, 47.150, "ashthorn", 80, "08/05/2024", "Yes"),
    (-109.540, 47.050, "brindlebell", 40, "08/06/2024", "Yes"),
    (-109.620, 47.170, "brindlebell", 25, "09/07/2024", ""),
]
RELEASES = [
    # number, agent, day, how many, which patch
    ("R-1", "Ashthorn stem weevil", "6/14/2019", 200, 0),
    ("R-2", "Ashthorn stem weevil", "6/25/2021", 150, 3),
    ("R-3", "Brindlebell leaf beetle", "7/19/2020", 300, 4),
]
VISITS = [
    ("V-1", "R-1", "Ashthorn stem weevil", "2023-06-20", "Recovered", 0),
    ("V-2", "R-2", "Ashthorn stem weevil", "2023-06-21", "Not recovered", 3),
    ("V-3", "R-3", "Brindlebell leaf beetle", "2024-07-02", "Recovered", 4),
]


def write_unlike_files(folder: Path) -> Path:
    """Write the files into a folder and return it."""
    (folder / "Weed maps").mkdir(parents=True)
    (folder / "klima Ö").mkdir()
    _write_shapefile(folder / "Weed maps/noxious weeds.shp")
    _write_csv(folder / "biocontrol releases.csv")
    _write_visits(folder / "monitoring.gpkg")
    _write_counties(folder / "counties.geojson")
    _write_rasters(folder)
    (folder / "letter.docx").write_bytes(b"PK\x03\x04")
    (folder / "read me.md").write_text("Notes.\n", encoding="utf-8")
    return folder


def _write_shapefile(path: Path) -> None:
    to_feet = Transformer.from_crs("EPSG:4326", FEET, always_xy=True)
    squares = []
    for longitude_deg, latitude_deg, *_ in PATCHES:
        east_ft, north_ft = to_feet.transform(longitude_deg, latitude_deg)
        squares.append(shapely.box(east_ft, north_ft, east_ft + SIDE_FT, north_ft + SIDE_FT))
    frame = gpd.GeoDataFrame(
        {
            "PATCH_ID": [f"P{number:02d}" for number in range(1, len(PATCHES) + 1)],
            "WEED": [row[2] for row in PATCHES],
            "CANOPY_PCT": [row[3] for row in PATCHES],
            "ACRES": [10.0] * len(PATCHES),
            "SURV_DATE": [row[4] for row in PATCHES],
            "LANDOWNER": ["Pell Meadow", "Osk Ridge", "Osk Ridge", "Harl", "Harl", "Marrock"],
            "ACCESS_OK": [row[5] for row in PATCHES],
            "EDITOR": ["gis"] * len(PATCHES),
        },
        geometry=squares,
        crs=FEET,
    )
    frame.to_file(path, engine="pyogrio")


def _write_csv(path: Path) -> None:
    with path.open("w", encoding="utf-8-sig", newline="") as stream:
        table = csv.writer(stream)
        table.writerow(["Rel No", "Bioagent", "Date Released", "Qty", "Latitude", "Longitude"])
        for number, agent, day, quantity, patch in RELEASES:
            longitude_deg, latitude_deg = _inside(patch)
            table.writerow([number, agent, day, quantity, latitude_deg, longitude_deg])


def _write_visits(path: Path) -> None:
    frame = gpd.GeoDataFrame(
        {
            "CHECK_ID": [row[0] for row in VISITS],
            "REL_NO": [row[1] for row in VISITS],
            "INSECT": [row[2] for row in VISITS],
            "DATE_CHECKED": [row[3] for row in VISITS],
            "OUTCOME": [row[4] for row in VISITS],
            "HOURS": [1.0, 2.0, 1.5],
        },
        geometry=[shapely.Point(_inside(row[5])) for row in VISITS],
        crs="EPSG:4326",
    )
    frame.to_file(path, layer="site_checks", engine="pyogrio")


def _write_counties(path: Path) -> None:
    middle = (WEST + EAST) / 2
    frame = gpd.GeoDataFrame(
        {"NAME": ["Tessock", "Saltwick"], "STATE_NAME": ["Harrowmere", "Ostrane"]},
        geometry=[shapely.box(WEST, SOUTH, middle, NORTH), shapely.box(middle, SOUTH, EAST, NORTH)],
        crs="EPSG:4326",
    )
    frame.to_file(path, engine="pyogrio")


def _write_rasters(folder: Path) -> None:
    rows, columns = np.mgrid[0:40, 0:40]
    _write_raster(folder / "dem_10m.tif", 900.0 + 10.0 * rows + 3.0 * columns)
    for month in range(1, 13):
        warmth_degc = 20.0 * np.sin((month - 4) / 12 * 2 * np.pi)
        field = rows * 0.1 - columns * 0.05
        _write_raster(folder / f"klima Ö/tmin_{month:02d}.tif", warmth_degc - 5.0 + field)
        _write_raster(folder / f"klima Ö/tmax_{month:02d}.tif", warmth_degc + 8.0 + field)
        _write_raster(folder / f"klima Ö/ppt_{month:02d}.tif", 30.0 + month + rows * 0.5)


def _write_raster(path: Path, values: np.ndarray) -> None:
    grid = from_bounds(WEST - 0.1, SOUTH - 0.1, EAST + 0.1, NORTH + 0.1, 40, 40)
    with rasterio.open(
        path, "w", driver="GTiff", width=40, height=40, count=1, dtype="float32", crs="EPSG:4326",
        transform=grid, nodata=-9999.0,
    ) as raster:  # fmt: skip
        raster.write(values.astype("float32"), 1)


def _inside(patch: int) -> tuple[float, float]:
    """Return a place inside a patch, whose corner stands in the list."""
    longitude_deg, latitude_deg, *_ = PATCHES[patch]
    return round(longitude_deg + 0.001, 6), round(latitude_deg + 0.001, 6)
