"""How one layer is read: its file, its columns, its units and words."""

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import model_validator

from geo_scout.model.criteria import OUR_CHOICE
from geo_scout.model.setting import Table, Texts, setting, table


class VisitColumns(Table):
    """Your columns of one of several visits in one row, for example the first: check1_date, check1_found."""

    date: str = setting(..., meaning="your column with the day of this visit; a blank one is no visit")
    result: str = setting(..., meaning="your column that says found or not found")
    method: str = setting("", meaning="your column with the way of looking")
    effort_hours: str = setting("", meaning="your column with the person-hours spent looking")
    count: str = setting("", meaning="your column with the agents counted")
    sign: str = setting("", meaning="your column with the sign seen")
    life_stage: str = setting("", meaning="your column with the stage seen")
    observer: str = setting("", meaning="your column with who looked")
    voucher: str = setting("", meaning="your column with the voucher")
    host_cover_pct: str = setting("", meaning="your column with the host's cover in percent")
    counted_area_m2: str = setting("", meaning="your column with the area that was counted, in m2")


class LayerTable(Table):
    """One layer: where it is and how to read it."""

    path: str = setting(..., meaning="file, relative to the season file")
    paths: Texts = setting(
        (),
        meaning="instead of path, for climate in many files: January to December, or bioclim in the order of "
        "bands; a path with {month}, {month:02} or {variable} in it finds them by their names",
    )
    layer: str | None = setting(None, meaning="layer name inside the file; the only or first one otherwise")
    crs: str | None = setting(
        None, meaning="coordinate reference system, only where the file has none", unit="EPSG:code or WKT"
    )
    encoding: str | None = setting(
        None, meaning='how letters are stored in a text table or a shapefile, for example "cp1252"'
    )
    max_size_mb: float = setting(
        2000.0,
        meaning="largest file that is read, measured unpacked",
        unit="MB",
        source=OUR_CHOICE,
        above=0.0,
    )
    columns: dict[str, str] = table(dict, meaning='your column for each of ours: {cover = "CANOPY"}')
    units: dict[str, str] = table(
        dict,
        meaning='{cover = "percent", "share" or "class:SCHEME", area = "ha", "acre", "m2", "ft2" or "km2"}; '
        'climate rasters: {temperature = "degc", "degf", "kelvin" or "tenths of degc", '
        'precipitation = "mm", "cm" or "inch"}',
    )
    date_format: str | None = setting(
        None,
        meaning='how dates are written, for example "%d.%m.%Y"; "spreadsheet day" for the day numbers of '
        "spreadsheets: 45000 is 2023-03-15",
    )
    yes: Texts = setting(
        ("yes", "y", "true", "1", "found", "granted", "detected", "present"),
        meaning="words that mean yes or found",
    )
    no: Texts = setting(
        ("no", "n", "false", "0", "not found", "refused", "notdetected", "absent"),
        meaning="words that mean no or not found",
    )
    decimal_comma: bool | None = setting(
        None, meaning="numbers in text are written with a decimal comma; found out by column when left out"
    )
    repeated: list[VisitColumns] = table(
        list,
        meaning="visits that stand in one row of a flat table: for each the columns that hold it",
    )
    point_area_ha: float | None = setting(
        None, meaning="area of a point with no area of its own", unit="ha", above=0.0
    )
    line_width_m: float | None = setting(
        None,
        meaning="lines are read as strips of this width; without it they are set aside",
        unit="m",
        above=0.0,
        most=1000.0,
    )
    vertical_unit: Literal["m", "ft"] = setting("m", meaning="unit of elevation", unit="m or ft")
    scale: float | None = setting(
        None, meaning="stored value times scale is the quantity; the file's own otherwise"
    )
    offset: float | None = setting(None, meaning="added after scaling; the file's own otherwise")
    fill_gaps_days: int = setting(
        0,
        meaning="daily weather: longest gap that is filled by a straight line; 0 leaves gaps open",
        unit="days",
        source="nothing is filled unless you say so",
        least=0,
        most=31,
    )
    period: str = setting("", meaning='station normals: years they are the mean of, for example "1991-2020"')
    bands: Texts = setting((), meaning="names of the bands in order, where the file has none")
    required: bool = setting(False, meaning="leave a site out where this layer has no value")

    @model_validator(mode="before")
    @classmethod
    def _accept_paths(cls, given: Any) -> Any:
        """Take the first of several paths for the layer's own, for what needs just one name."""
        if not isinstance(given, Mapping) or "path" in given:
            return given
        paths = given.get("paths")
        first = paths[0] if isinstance(paths, list | tuple) and paths else None
        return {**given, "path": first} if isinstance(first, str) else given
