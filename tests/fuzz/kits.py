"""Three small seasons that hold the same cut-down sample in different kinds of files."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import geopandas as gpd
import mgrs
import numpy as np
import pandas as pd

from tests.fuzz.cut_down import DEGREES, PLANE, SAMPLE, Cells, CutDown, plain
from tests.fuzz.map_files import MapFile, RasterFile, write_map, write_raster

SEASON_FILE = "season.toml"
_MONTHS = range(1, 13)


@dataclass(frozen=True)
class Kit:
    """One small season: its maps, rasters and TOML files.

    Parameters
    ----------
    name
        Name of its folder.
    maps, rasters
        Its layers.
    texts
        TOML files by path.
    """

    name: str
    maps: tuple[MapFile, ...]
    rasters: tuple[RasterFile, ...]
    texts: Mapping[str, str]


def write_kit(kit: Kit, folder: Path) -> None:
    """Write a whole kit into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for file in kit.maps:
        write_map(folder, file, file.rows)
    for raster in kit.rasters:
        write_raster(folder, raster.path, raster.cells)
    for path, text in kit.texts.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")


def write_kits(sample: CutDown, folder: Path) -> tuple[Kit, ...]:
    """Write every kit into a folder of its name and return them."""
    kits = (geopackages(sample), tables_and_shapefiles(sample), other_files(sample))
    for kit in kits:
        write_kit(kit, folder / kit.name)
    return kits


def geopackages(sample: CutDown) -> Kit:
    """Return the season as the sample has it: GeoPackages, a GeoJSON file and GeoTIFFs."""
    of = sample.vectors
    maps = (
        MapFile("infestations", "layers/weed_map.gpkg", of["infestations"], "infestations"),
        MapFile("surveyed_areas", "layers/weed_map.gpkg", of["surveyed_areas"], "surveyed_areas"),
        MapFile("releases", "layers/programme.gpkg", of["releases"], "releases"),
        MapFile("visits", "layers/programme.gpkg", of["visits"], "visits"),
        MapFile("requests", "layers/requests.geojson", of["requests"]),
        MapFile("treatments", "layers/treatments.gpkg", of["treatments"], "treatments"),
        MapFile("land_classes", "layers/land.gpkg", of["land_classes"], "land_classes"),
        MapFile("boundaries", "layers/land.gpkg", of["boundaries"], "boundaries"),
        MapFile("roads", "layers/land.gpkg", of["roads"], "roads"),
        MapFile("water", "layers/land.gpkg", of["water"], "water"),
        MapFile("places", "layers/land.gpkg", of["places"], "places"),
        MapFile("weather", "weather/quillen_ford.csv", sample.weather),
    )
    rasters = tuple(RasterFile(f"rasters/{name}.tif", cells) for name, cells in sample.rasters.items())
    return Kit("geopackages", maps, rasters, _texts(_sample_text(), agents=2))


def tables_and_shapefiles(sample: CutDown) -> Kit:
    """Return the season in shapefiles, text tables, a spreadsheet, FlatGeobuf, KML and single months."""
    of = sample.vectors
    visits = plain(of["visits"]).assign(**_on_plane(of["visits"]), utm_zone="12 north")
    requests = plain(of["requests"]).assign(place=_on_military_grid(of["requests"]))
    weeds = of["infestations"]
    maps = (
        # A shapefile holds shapes of one kind only.
        MapFile("infestations", "maps/weeds.shp", weeds[weeds.geom_type == "Polygon"]),
        MapFile("surveyed_areas", "maps/surveyed.zip", of["surveyed_areas"]),
        MapFile(
            "releases", "tables/releases.csv", plain(of["releases"]).assign(**_in_degrees(of["releases"]))
        ),
        MapFile("visits", "tables/visits.xlsx", visits, "visits"),
        MapFile("requests", "tables/requests.csv", requests, delimiter=";"),
        MapFile("treatments", "maps/treatments.fgb", of["treatments"]),
        MapFile("land_classes", "maps/land.kml", of["land_classes"].to_crs(DEGREES)),
        MapFile("boundaries", "maps/districts.kmz", of["boundaries"]),
        MapFile("roads", "maps/roads.gml", of["roads"]),
        MapFile("water", "maps/streams.geojson", of["water"].to_crs(DEGREES)),
        MapFile("places", "tables/places.csv", plain(of["places"]).assign(**_in_degrees(of["places"]))),
    )
    of_months = [
        RasterFile(f"rasters/tmin_{month:02d}.tif", _one_band(sample.rasters["tmin"], month - 1))
        for month in _MONTHS
    ]
    rasters = (
        RasterFile("rasters/feet.asc", _in_feet(sample.rasters["elevation"])),
        *of_months,
        RasterFile("rasters/tmax.tif", replace(sample.rasters["tmax"], tags={})),
        RasterFile("rasters/rain.tif", sample.rasters["precipitation"]),
    )
    return Kit("tables_and_shapefiles", maps, rasters, _texts(_with_layers(_TABLES_TEXT)))


def other_files(sample: CutDown) -> Kit:
    """Return the season in GeoJSON, OpenDocument, MapInfo, geodatabase, SpatiaLite and bioclimatic files."""
    of = sample.vectors
    visits = plain(of["visits"]).assign(**_in_minutes(of["visits"]))
    visits["hours"] = [hours.replace(".", ",") for hours in visits["hours"]]
    visits = _side_by_side(visits)
    maps = (
        MapFile("infestations", "weeds.geojson", _with_none(of["infestations"].to_crs(DEGREES))),
        MapFile("surveyed_areas", "surveyed.sqlite", of["surveyed_areas"], "surveyed"),
        MapFile(
            "releases", "releases.ods", plain(of["releases"]).assign(**_in_degrees(of["releases"])), "all"
        ),
        MapFile("visits", "visits.csv", visits, delimiter="\t"),
        MapFile("requests", "requests.geojson", of["requests"]),
        MapFile("treatments", "treatments.tab", of["treatments"].to_crs(PLANE)),
        MapFile("land_classes", "land.gdb", of["land_classes"], "land"),
        MapFile("boundaries", "districts.geojson", of["boundaries"]),
        MapFile("previous", "earlier.gpkg", _earlier(of["infestations"]), "patches"),
    )
    rasters = [RasterFile("elevation.tif", sample.rasters["elevation"])]
    for name, months, choose in _VARIABLES:
        stored = sample.rasters[months]
        values = choose(stored.values.astype(np.float32), axis=0)[np.newaxis]
        profile = {**stored.profile, "count": 1, "dtype": "float32"}
        values *= np.float32(stored.tags["scales"][0])
        rasters.append(RasterFile(f"bio/{name}.tif", Cells(values, profile)))
    return Kit("other_files", maps, tuple(rasters), _texts(_with_layers(_OTHERS_TEXT, _OTHERS_SEASON)))


_VARIABLES: tuple[tuple[str, str, Callable[..., Any]], ...] = (
    ("bio05", "tmax", np.max),
    ("bio06", "tmin", np.min),
    ("bio12", "precipitation", np.sum),
)


def _texts(season: str, agents: int = 1) -> dict[str, str]:
    profiles = sorted((SAMPLE / "agents").glob("*.toml"))[:agents]
    return {
        SEASON_FILE: season,
        **{f"agents/{path.name}": path.read_text(encoding="utf-8") for path in profiles},
    }


def _sample_text() -> str:
    return (SAMPLE / SEASON_FILE).read_text(encoding="utf-8")


def _with_layers(layers: str, season: str = "") -> str:
    """Return the sample's season with one agent, other layers, and room for bad features."""
    text = _sample_text()
    text = text.replace('    "agents/brindlebell_leaf_beetle.toml",\n', "")
    head, rest = text.split("[layers.infestations]", 1)
    tail = rest[rest.index("[[crews]]") :]
    tail = tail.replace("[rules]", "[rules]\nmax_bad_share = 0.6", 1)
    tail = tail.replace("[records]", "[records]\nlink_m = 400\nlink_days = 90\nblank_effort_hours = 1", 1)
    return f"{head}{season}\n{layers}\n{tail}"


def _earlier(infestations: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return what an earlier result holds of its patches."""
    areas = infestations[infestations.geom_type == "Polygon"]
    names = [f"ASHT-{name}" for name in areas["feature_id"]]
    return gpd.GeoDataFrame(
        {"site_id": names, "host": "ashthorn"}, geometry=areas.geometry.to_numpy(), crs=areas.crs
    )


def _side_by_side(visits: pd.DataFrame) -> pd.DataFrame:
    """Return a flat table: two visits in one row, with the place of the first; the last row may hold one."""
    first, second = visits.iloc[::2].reset_index(drop=True), visits.iloc[1::2].reset_index(drop=True)
    shared = first[["release_id", "agent", "lon", "lat"]].assign(release_day="2020-06-01")
    each = ["visited_on", "outcome", "hours", "count", "method"]
    sides = [side[each].add_suffix(f"_{number}") for number, side in enumerate((first, second), start=1)]
    return pd.concat([shared, *sides], axis=1).fillna("")


def _with_none(frame: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return the frame with None for missing cells, which a GeoJSON file writes as null."""
    cells = frame.drop(columns="geometry").astype(object)
    return gpd.GeoDataFrame(cells.where(cells.notna(), None), geometry=frame.geometry)


def _in_degrees(frame: gpd.GeoDataFrame) -> dict[str, Any]:
    points = frame.to_crs(DEGREES).geometry
    return {"longitude_deg": [f"{x:.6f}" for x in points.x], "latitude_deg": [f"{y:.6f}" for y in points.y]}


def _in_minutes(frame: gpd.GeoDataFrame) -> dict[str, Any]:
    points = frame.to_crs(DEGREES).geometry
    east = [f"{int(-x)}°{(-x % 1) * 60:.4f}'W" for x in points.x]
    return {"lon": east, "lat": [f"N {int(y)} {(y % 1) * 60:.4f}" for y in points.y]}


def _on_plane(frame: gpd.GeoDataFrame) -> dict[str, Any]:
    points = frame.to_crs(PLANE).geometry
    return {"easting_m": points.x.round(1), "northing_m": points.y.round(1)}


def _on_military_grid(frame: gpd.GeoDataFrame) -> list[str]:
    points = frame.to_crs(DEGREES).geometry
    convert = mgrs.MGRS()
    return [str(convert.toMGRS(y, x)) for x, y in zip(points.x, points.y, strict=True)]


def _in_feet(elevation: Cells) -> Cells:
    is_known = elevation.values != elevation.profile["nodata"]
    feet = np.where(is_known, np.round(elevation.values / 0.3048), elevation.values)
    return replace(elevation, values=feet.astype(np.int32))


def _one_band(cells: Cells, band: int) -> Cells:
    """Return one month without its scale, which the season states instead."""
    return Cells(cells.values[band : band + 1], {**cells.profile, "count": 1})


_TABLES_TEXT = """
[layers.infestations]
path = "maps/weeds.shp"
columns = {id = "feature_id", host = "weed", cover_scheme = "cover_sche", survey_date = "surveyed_o", name = "site_name"}
units = {cover = "percent", area = "ha"}
yes = ["yes"]
no = ["no"]
point_area_ha = 0.05
encoding = "utf-8"

[layers.surveyed_areas]
path = "maps/surveyed.zip"
columns = {survey_date = "survey_dat"}

[layers.releases]
path = "tables/releases.csv"

[layers.visits]
path = "tables/visits.xlsx"
layer = "visits"
columns = {result = "outcome", effort_hours = "hours", date = "visited_on"}
yes = ["seen", "seen, voucher kept"]
no = ["none seen"]
crs = "EPSG:4326"

[layers.requests]
path = "tables/requests.csv"
date_format = "%d.%m.%Y"
columns = {grid_reference = "place"}

[layers.treatments]
path = "maps/treatments.fgb"
columns = {kind = "action", start = "from_date", end = "to_date"}

[layers.land_classes]
path = "maps/land.kml"

[layers.boundaries]
path = "maps/districts.kmz"

[layers.roads]
path = "maps/roads.gml"

[layers.water]
path = "maps/streams.geojson"

[layers.places]
path = "tables/places.csv"

[layers.elevation]
path = "rasters/feet.asc"
vertical_unit = "ft"
crs = "EPSG:32612"

[layers.tmin]
path = "rasters/tmin_{month:02}.tif"
scale = 0.1

[layers.tmax]
path = "rasters/tmax.tif"
units = {temperature = "tenths of degc"}

[layers.precipitation]
path = "rasters/rain.tif"
required = true
"""

_OTHERS_SEASON = 'previous = "earlier.gpkg"'
_OTHERS_TEXT = """
[layers.infestations]
path = "weeds.geojson"
columns = {id = "feature_id", host = "weed", survey_date = "surveyed_on", name = "site_name"}
units = {cover = "class:ours", area = "acre"}
line_width_m = 5

[layers.surveyed_areas]
path = "surveyed.sqlite"
layer = "surveyed"

[layers.releases]
path = "releases.ods"
layer = "all"

[layers.visits]
path = "visits.csv"
columns = {longitude_deg = "lon", latitude_deg = "lat", release_date = "release_day"}
repeated = [
    {date = "visited_on_1", result = "outcome_1", effort_hours = "hours_1", count = "count_1", method = "method_1"},
    {date = "visited_on_2", result = "outcome_2", effort_hours = "hours_2", count = "count_2", method = "method_2"},
]
yes = ["seen", "seen, voucher kept"]
no = ["none seen"]
crs = "EPSG:4326"

[layers.requests]
path = "requests.geojson"
date_format = "%d.%m.%Y"

[layers.treatments]
path = "treatments.tab"
columns = {kind = "action", start = "from_date", end = "to_date"}
encoding = "cp1252"

[layers.land_classes]
path = "land.gdb"
required = true

[layers.boundaries]
path = "districts.geojson"

[layers.elevation]
path = "elevation.tif"

[layers.bioclim]
paths = ["bio/bio05.tif", "bio/bio06.tif", "bio/bio12.tif"]

[cover_schemes.ours]
2 = [5, 15, 25]
3 = [25, 37.5, 50]
4 = [50, 62.5, 75]
15 = [10, 15, 20]
30 = [20, 30, 40]
10 = [5, 10, 15]
"""
