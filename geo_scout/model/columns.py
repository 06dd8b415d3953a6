"""The columns of each vector layer: ours, what they mean, and which a layer cannot do without."""

from geo_scout.model.column import Column, RasterKind, TableKind, VectorKind
from geo_scout.model.record_layers import RELEASES, REQUESTS, VISITS

SPREADSHEET_DAY = "spreadsheet day"
"""The ``date_format`` of dates that are day numbers of a spreadsheet, counted from 1899-12-30."""


POSITION_COLUMNS: tuple[Column, ...] = (
    Column(
        "longitude_deg",
        "number",
        "longitude, decimal or in degrees, minutes and seconds [deg]",
        term="decimalLongitude",
    ),
    Column("latitude_deg", "number", "latitude, written in the same ways [deg]", term="decimalLatitude"),
    Column("easting_m", "number", "easting, of a UTM zone or of the layer's `crs` [m]"),
    Column("northing_m", "number", "northing, of the same [m]"),
    Column("utm_zone", "text", 'UTM zone with its hemisphere or band: "12N", "12 north", "12T"'),
    Column("grid_reference", "text", 'military grid reference (MGRS): "12T VT 12345 67890"'),
)
"""Columns of a layer of points that comes as a plain table, such as CSV: one of the ways to say where."""


VECTOR_LAYERS: dict[str, VectorKind] = {
    "infestations": VectorKind(
        "polygons or points",
        "the candidate patches, with host area and cover",
        "nothing runs",
        (
            Column("id", "text", "your own id; site_id is made from it"),
            Column("host", "text", "the weed's name, as in the agent's profile", is_required=True),
            Column("cover", "cover", "canopy cover, in the layer's unit or scheme"),
            Column("cover_scheme", "text", "unit or scheme of this row's cover, where rows differ"),
            Column("area", "area", "area of a point, in the layer's unit"),
            Column("survey_date", "date", "day of the survey"),
            Column("manager", "text", "who manages the land"),
            Column("parcel", "text", "parcel, where patches must not cross parcels"),
            Column("permission", "yes or no", "the manager's permission; blank is unknown"),
            Column("name", "text", "name of the place"),
            Column("result", "text", '"present", or "none found" where a survey found no host'),
        ),
    ),
    "surveyed_areas": VectorKind(
        "polygons",
        "newer surveys remove older cover inside them",
        "an old infestation stays until a newer one overlaps it",
        (
            Column("id", "text", "your own id"),
            Column("host", "text", "the weed looked for; blank is every host"),
            Column("survey_date", "date", "day of the survey", is_required=True),
            Column("result", "text", '"surveyed" or "none found"'),
        ),
    ),
    "releases": RELEASES,
    "visits": VISITS,
    "requests": REQUESTS,
    "treatments": VectorKind(
        "polygons",
        "patches treated or to be treated are left out",
        "no site is left out for spraying, mowing or grazing",
        (
            Column("treatment_id", "text", "your own id", is_required=True),
            Column("kind", "text", "herbicide, mowing or grazing", is_required=True),
            Column("start", "date", "first day", is_required=True),
            Column("end", "date", "last day; blank is the first day"),
            Column("note", "text", "anything else"),
        ),
    ),
    "land_classes": VectorKind(
        "polygons",
        "land the season forbids, asks about or prefers",
        "no land is forbidden, asked about or preferred",
        (Column("class", "text", "class, named in rules.land_classes", is_required=True),),
    ),
    "boundaries": VectorKind(
        "polygons",
        "districts that split patches, and the jurisdiction whose law holds",
        "the jurisdiction is unknown, so every output says STOP AND ASK",
        (
            Column("district", "text", "name of the district", is_required=True),
            Column(
                "jurisdiction", "text", "whose law holds, as in the agent's legal_status", is_required=True
            ),
        ),
    ),
    "roads": VectorKind(
        "lines",
        "roads on the map",
        "the map shows no roads",
        (Column("road_class", "text", "class of the road"),),
    ),
    "water": VectorKind("lines or polygons", "streams and lakes on the map", "the map shows no water", ()),
    "places": VectorKind(
        "points",
        "names of towns, passes and peaks on the map; where room is short, earlier rows keep theirs",
        "the map names no towns, passes or peaks",
        (Column("name", "text", "name of the place", is_required=True),),
    ),
}


RASTER_LAYERS: dict[str, RasterKind] = {
    "elevation": RasterKind(
        "m",
        1,
        "elevation, slope, aspect, heat load and relative position of each site, relief on the map",
        "no criterion and no limit of elevation or slope; a plain map",
    ),
    "tmin": RasterKind("degc", 12, "with tmax and precipitation: the climate gap", "no climate gap"),
    "tmax": RasterKind("degc", 12, "with tmin and precipitation: the climate gap", "no climate gap"),
    "precipitation": RasterKind("mm", 12, "with tmin and tmax: the climate gap", "no climate gap"),
    "bioclim": RasterKind(
        "by band",
        None,
        "the climate gap, instead of the monthly rasters",
        "the monthly rasters are used, where there are any",
    ),
    "climate_elevation": RasterKind(
        "m", 1, "climate brought to each site's own elevation", "climate as it is in its cell"
    ),
    "extremes": RasterKind(
        "degc",
        None,
        "limits of yearly extremes are checked",
        "limits of yearly extremes are checked only within 50 km of a station with ten years of weather",
    ),
}


_STATION = (
    Column("station", "text", "name of the station; one station where there is no such column"),
    Column("longitude_deg", "number", "longitude of the station [deg]"),
    Column("latitude_deg", "number", "latitude of the station [deg]"),
    Column("elevation_m", "number", "elevation of the station [m]"),
)
_TMIN = Column("tmin", "number", "lowest temperature, in the layer's unit", is_required=True)
_TMAX = Column("tmax", "number", "highest temperature, in the layer's unit", is_required=True)
_RAIN = Column("precipitation", "number", "precipitation, in the layer's unit")

TABLE_LAYERS: dict[str, TableKind] = {
    "weather": TableKind(
        "windows from daily temperatures, with early and late dates from ten years",
        "windows come from normals, if there are any",
        (*_STATION, Column("date", "date", "day", is_required=True), _TMIN, _TMAX, _RAIN),
    ),
    "station_normals": TableKind(
        "climate and windows where there are no climate rasters",
        "climate comes from rasters, if there are any",
        (*_STATION, Column("month", "number", "month, 1 to 12", is_required=True), _TMIN, _TMAX, _RAIN),
    ),
    "yearly_climate": TableKind(
        "the climate gap in sigmas of year-to-year variability",
        "the climate gap is the regional distance",
        (
            Column("place", "text", "name of the population, or site_id", is_required=True),
            Column("year", "number", "year", is_required=True),
            Column(
                "month",
                "number",
                "month, 1 to 12; this and the next three may be left out where columns bio01 to bio19 hold "
                "the year's variables",
                is_required=True,
            ),
            _TMIN,
            _TMAX,
            Column("precipitation", "number", "precipitation, in the layer's unit", is_required=True),
        ),
    ),
}

CATCHES = TableKind(
    "windows learned from your own catches",
    "nothing is learned",
    (
        Column("station", "text", "station whose weather counts, where the weather has several"),
        Column("date", "date", "day of the visit", is_required=True),
        Column("count", "number", "number caught; 0 where none was", is_required=True),
    ),
)
"""A table for learning a window; it is named on the command line and is no layer of a season."""

LAYERS: dict[str, VectorKind | RasterKind | TableKind] = {**VECTOR_LAYERS, **RASTER_LAYERS, **TABLE_LAYERS}
"""Every layer a season may have."""

CLIMATE_UNITS: dict[str, tuple[str, ...]] = {
    "temperature": ("degc", "degf", "kelvin", "tenths of degc"),
    "precipitation": ("mm", "cm", "inch"),
}
"""Units a climate raster may be in, our own first."""

CLIMATE_UNITS_OF: dict[str, tuple[str, ...]] = {
    "tmin": ("temperature",),
    "tmax": ("temperature",),
    "precipitation": ("precipitation",),
    "bioclim": ("temperature", "precipitation"),
    "extremes": ("temperature",),
    "weather": ("temperature", "precipitation"),
    "station_normals": ("temperature", "precipitation"),
    "yearly_climate": ("temperature", "precipitation"),
}
"""Which of them each climate layer holds."""


def columns_of(layer: str) -> tuple[Column, ...]:
    """Return our columns of a vector layer or a table, those of a plain table of points last."""
    if layer in TABLE_LAYERS:
        return TABLE_LAYERS[layer].columns
    kind = VECTOR_LAYERS[layer]
    return kind.columns + (POSITION_COLUMNS if "points" in kind.shapes else ())
