"""The same layers in other clothes give the same rows: file formats, reference systems, units and ways to write a place.

The seasons are those of tests/real_season.py, made of layers nobody here made. Each is written as it was found and in
other clothes, and both tables are compared as they are printed: every row, every column, every decimal.
"""

import csv
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import geo_scout
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.tables import build_tables
from tests.real_season import M_PER_FT, Clothes, Raster, as_found, coast, ridges, write_geotiff, write_season

pytestmark = pytest.mark.slow


def stored_metres(raster: Raster) -> np.ndarray:
    """Return elevations in metres, whether they are stored so or as bytes; nan where missing."""
    cells = raster.cells.astype(float)
    if raster.cells.dtype != np.uint8:
        return cells
    return np.where(raster.cells == raster.nodata, np.nan, 28.0 * cells - 450.0)


def in_feet_and_fahrenheit(folder: Path, name: str, raster: Raster) -> dict[str, Any]:
    """Write elevation in feet as ERDAS Imagine, temperature in Fahrenheit and rain in inches, a file for each band."""
    if name == "elevation":
        feet = stored_metres(raster) / M_PER_FT
        write_geotiff(folder / "elevation.img", raster.with_cells(feet, np.nan), driver="HFA")
        return {"path": "elevation.img", "vertical_unit": "ft"}
    known = np.where(raster.cells == raster.nodata, np.nan, raster.cells)
    for band, cells in enumerate(known):
        if name == "bioclim":
            path, zero = folder / f"{raster.names[band]}.tif", (32.0, 0.0)[band]
        else:
            path, zero = folder / f"{name}_{band + 1:02d}.tif", 32.0
        other = cells / 25.4 if name == "precipitation" else cells * 1.8 + zero
        write_geotiff(path, raster.with_cells(other[None], np.nan))
    if name == "bioclim":
        return {"path": "{variable}.tif", "units": {"temperature": "degf"}}
    units = {"precipitation": "inch"} if name == "precipitation" else {"temperature": "degf"}
    return {"path": f"{name}_{{month:02}}.tif", "units": units}


def as_text_and_kelvin(folder: Path, name: str, raster: Raster) -> dict[str, Any]:
    """Write elevation as a text grid, which says nothing of its reference system, and temperature in kelvin."""
    if name == "elevation":
        write_text_grid(folder / "elevation.asc", raster)
        return {"path": "elevation.asc", "crs": "EPSG:4326"}
    zeros = np.array([273.15, 0.0])[:, None, None] if name == "bioclim" else 273.15
    is_rain = name == "precipitation"
    cells = (
        raster.cells / 10.0
        if is_rain
        else np.where(raster.cells == raster.nodata, np.nan, raster.cells + zeros)
    )
    write_geotiff(folder / f"{name}.tif", raster.with_cells(cells, np.nan))
    units = {"precipitation": "cm"} if is_rain else {"temperature": "kelvin"}
    return {"path": f"{name}.tif", "units": units}


def write_text_grid(path: Path, raster: Raster) -> None:
    metres = stored_metres(raster)[0]
    south_deg = raster.north_deg - raster.height_deg * len(metres)
    header = [
        f"ncols {metres.shape[1]}",
        f"nrows {metres.shape[0]}",
        f"xllcorner {raster.west_deg!r}",
        f"yllcorner {south_deg!r}",
        f"dx {raster.width_deg!r}",
        f"dy {raster.height_deg!r}",
        "NODATA_value -9999",
    ]
    rows = (" ".join(f"{value:.0f}" for value in row) for row in np.nan_to_num(metres, nan=-9999.0))
    path.write_text("\n".join([*header, *rows]) + "\n", encoding="ascii")


WARDROBE = {
    # NAD83 / California zone 3 and Tennessee, US survey feet.
    "coast": {
        "found": Clothes({"every": (".gpkg", None), "boundaries": (".shp", None)}, as_found),
        "shapefiles in US survey feet": Clothes({"every": (".shp", 2227)}, in_feet_and_fahrenheit),
        "geopackages in degrees": Clothes({"every": (".gpkg", 4326)}, as_found),
        "geojson": Clothes({"every": (".geojson", 4326)}, as_text_and_kelvin),
        "spreadsheets in degrees, minutes and seconds": Clothes(
            {"every": (".csv", 4326), "boundaries": (".geojson", 4326)}, as_found
        ),
    },
    "ridges": {
        "found": Clothes({"every": (".gpkg", None), "boundaries": (".shp", None)}, as_found),
        "shapefiles in US survey feet": Clothes({"every": (".shp", 2274)}, in_feet_and_fahrenheit),
        "geojson": Clothes({"every": (".geojson", 4326)}, as_text_and_kelvin),
    },
}
SEASONS = {"coast": lambda: coast(every=3), "ridges": ridges}


def printed_tables(season_file: Path) -> dict[str, list[dict[str, str]]]:
    """Run a season without the map, and return its two tables as a run would print them."""
    result = geo_scout.run(season_file, write=False)
    tables = {}
    for role, table in build_tables(result, "crew").items():
        path = season_file.with_name(f"{role}.csv")
        write_csv(path, table)
        with path.open(encoding="utf-8-sig", newline="") as stream:
            tables[role] = list(csv.DictReader(stream))
    return tables


@pytest.fixture(scope="module")
def plain_tables(tmp_path_factory):
    folder = tmp_path_factory.mktemp("found")
    return {
        name: printed_tables(write_season(make(), folder / name, WARDROBE[name]["found"]))
        for name, make in SEASONS.items()
    }


WIDENED = ("presence_low_share", "presence_high_share")


def sure(row):
    """Return a row without what hangs on how sure positions are.

    NAD 83 to WGS 84 is known to some metres only, which widens each position, 30 m to 30.3 m, and with it the
    lowest and the highest chance a little, in their columns and in sentences.
    """
    ranges = re.compile(r" \([<>]?\d+ to [<>]?\d+ %\)")
    return {name: ranges.sub("", text) for name, text in row.items() if name not in WIDENED}


@pytest.mark.parametrize(
    ("name", "clothes"), [(name, one) for name, some in WARDROBE.items() for one in some if one != "found"]
)
def test_the_same_layers_print_the_same_rows(plain_tables, tmp_path, name, clothes):
    tables = printed_tables(write_season(SEASONS[name](), tmp_path / name, WARDROBE[name][clothes]))
    for role, rows in plain_tables[name].items():
        # Nothing is left out of the comparison: ids come from the users' own numbers, not from coordinates.
        assert len(rows) == len(tables[role]) > 40
        for row, other in zip(rows, tables[role], strict=True):
            assert (sure(row) if "feet" in clothes else row) == (sure(other) if "feet" in clothes else other)
            for column in WIDENED:
                assert float(row[column]) == pytest.approx(float(other[column]), abs=2e-3)


def test_what_is_compared_is_ranked_measured_and_different_from_row_to_row(plain_tables):
    for tables in plain_tables.values():
        for rows in tables.values():
            assert len({row["site_id"] + row["agent"] for row in rows}) == len(rows)
        for name in (
            "crew_distance_km",
            "population_distance_km",
            "climate_gap",
            "elevation_m",
            "gross_ha",
            "score",
        ):
            assert len({row[name] for row in tables["release"]}) > 8
