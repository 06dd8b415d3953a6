"""What people call the columns and layers we know, in plain trade words.

From common practice, gathered by us; a phrase matches in any order of its words, see `names`.
"""

from collections.abc import Mapping

from geo_scout.layers.inspect.map_synonyms import (
    MAP_AGAINST,
    MAP_COLUMN_PHRASES,
    MAP_PHRASES,
    MAP_TELLING,
)
from geo_scout.layers.inspect.record_synonyms import RECORD_PHRASES
from geo_scout.layers.inspect.weather_synonyms import (
    TABLE_AGAINST,
    TABLE_COLUMN_PHRASES,
    TABLE_TELLING,
    WEATHER_PHRASES,
)

COLUMN_PHRASES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "infestations": {
        "id": ("id", "feature id", "infestation id", "patch id", "weed id", "site id", "polygon id",
               "record id", "uid", "unique id", "global id", "site code", "patch number", "patch",
               "infestation", "infestation number", "reference", "reference number", "reference id",
               "weed reference", "patch code", "feature code", "feature number", "point id", "object id",
               "object code", "map id", "plot id", "occurrence id"),
        "host": ("host", "host weed", "weed", "weed name", "weed species", "species", "species name", "plant",
                 "plant name", "plant species", "target weed", "common name", "species common",
                 "scientific name", "species scientific", "taxon"),
        "cover": ("cover", "canopy cover", "canopy", "percent cover", "canopy percent", "cover class",
                  "canopy class", "canopy cover percent", "percent canopy cover", "weed cover",
                  "host cover", "cover value", "cover code", "cover braun blanquet", "braun blanquet",
                  "cover daubenmire", "daubenmire", "foliar cover", "aerial cover", "areal cover",
                  "cover fraction", "percent density", "coverpct", "covpct", "pctcov"),
        "cover_scheme": ("cover scheme", "scheme", "cover unit", "cover method", "class scheme"),
        "area": ("area", "acre", "gross acre", "gross area", "hectare", "gross hectare", "area acre",
                 "area hectare", "area sqft", "area m2", "area ft2", "area km2", "sqft", "sq ft",
                 "square feet",
                 "sqm", "m2", "ft2", "km2", "square metre", "square meter", "acreage", "size", "patch size",
                 "total acre", "total hectare", "infestation size", "size of infestation",
                 "infestation area", "extent", "total area",
                 "area affected", "affected area", "area covered", "weed area", "mapped area",
                 "infested size", "size of patch",
                 "patch area", "infested acre", "infested area", "infested hectare"),
        "survey_date": ("survey date", "surveyed on", "date surveyed", "date", "observation date",
                        "event date",
                        "date observed", "inventory date", "mapped on", "map date", "date mapped",
                        "visit date", "last seen", "inspection date", "collection date", "surveyed",
                        "date seen", "seen on", "seen", "first seen", "date found", "found on",
                        "date recorded", "recorded on", "record date", "date inspected", "inspected",
                        "inspected on",
                        "date visited", "visited", "visited on", "last visited", "last visit",
                        "last surveyed", "last survey", "date last seen", "date of survey",
                        "date of observation", "observed",
                        "observed on", "detection date", "date detected", "date collected", "collected on",
                        "sighting date", "date sighted", "day", "mapped", "when"),
        "manager": ("manager", "land manager", "managed by", "owner", "landowner", "land owner", "owner name",
                    "ownership", "agency", "managing agency", "administrator", "tenant", "tenant name",
                    "lessee", "leaseholder", "lease holder", "landholder", "land holder", "occupier",
                    "occupant", "custodian", "steward", "property owner", "rancher", "farmer", "operator",
                    "held by", "holder", "landowner name", "land owner name", "owner operator"),
        "parcel": ("parcel", "parcel id", "parcel number", "apn", "lot", "tract", "parcel code", "pin"),
        "permission": ("permission", "permission granted", "owner permission", "landowner permission",
                       "consent",
                       "access", "access granted", "access ok", "access permission", "permission status"),
        "name": ("name", "site name", "site", "place", "place name", "location", "location name", "locality",
                 "patch name", "infestation name"),
        "result": ("result", "survey result", "presence", "present", "outcome", "found", "status"),
    },
    "surveyed_areas": {
        "id": ("id", "survey id", "area id", "site id", "record id", "uid", "unique id"),
        "host": ("host", "weed", "target weed", "species", "weed species", "plant", "weed name",
                 "common name"),
        "survey_date": ("survey date", "surveyed on", "date surveyed", "date", "search date", "searched on",
                        "observation date", "inventory date", "inspection date", "visit date"),
        "result": ("result", "survey result", "outcome", "found", "presence", "status"),
    },
    **RECORD_PHRASES,
    "treatments": {
        "treatment_id": ("treatment id", "id", "record id", "uid", "job id", "activity id", "unique id",
                         "treatment number", "event id", "work order"),
        "kind": ("kind", "treatment", "treatment type", "treatment kind", "type", "action", "method",
                 "treatment method", "control method", "activity", "activity type", "control type"),
        "start": ("start", "start date", "from", "from date", "treatment date", "date treated", "treated on",
                  "begin", "begin date", "date", "applied on", "application date", "spray date",
                  "date applied",
                  "first day", "date start", "planned date"),
        "end": ("end", "end date", "to", "to date", "until", "finish", "finish date", "last day", "date end"),
        "note": ("note", "comment", "remark", "description", "details"),
    },
    "land_classes": {
        "class": ("class", "land class", "land use", "landuse", "land cover", "landcover", "cover type",
                  "zone",
                  "zoning", "category", "designation", "land use class", "land use type", "use", "type",
                  "class name", "land type", "lulc"),
    },
    "boundaries": {
        "district": ("district", "district name", "name", "county", "county name", "area name", "region",
                     "township", "management area", "unit name", "district id", "namelsad"),
        "jurisdiction": ("jurisdiction", "state", "state name", "province", "province name", "country",
                         "country name", "state abbreviation", "stusps", "admin", "territory"),
    },
    "roads": {
        "road_class": ("road class", "class", "road type", "type", "highway", "functional class", "fclass",
                       "rttyp", "mtfcc", "route type", "surface type"),
    },
    **MAP_COLUMN_PHRASES,
    **TABLE_COLUMN_PHRASES,
}  # fmt: skip
"""Per layer and column of ours: what that column is called elsewhere."""

POSITION_PHRASES: Mapping[str, tuple[str, ...]] = {
    "longitude_deg": ("longitude", "longitude deg", "decimal longitude", "longitude dd", "dd longitude", "x",
                      "gps longitude", "longitude wgs84", "wgs84 longitude", "x coord", "point x", "coord x",
                      "longitude decimal", "release longitude", "longitude x", "longitude dms"),
    "latitude_deg": ("latitude", "latitude deg", "decimal latitude", "latitude dd", "dd latitude", "y",
                     "gps latitude", "latitude wgs84", "wgs84 latitude", "y coord", "point y", "coord y",
                     "latitude decimal", "release latitude", "latitude y", "latitude dms"),
    "easting_m": ("easting", "utm easting", "easting m", "utm e", "utm x", "x", "x coord", "point x",
                  "coord x",
                  "x m", "easting utm", "east"),
    "northing_m": ("northing", "utm northing", "northing m", "utm n", "utm y", "y", "y coord", "point y",
                   "coord y", "y m", "northing utm", "north"),
    "utm_zone": ("utm zone", "zone", "utm", "zone number"),
    "grid_reference": ("grid reference", "mgrs", "usng", "grid ref", "military grid", "national grid",
                       "grid"),
}  # fmt: skip
"""Columns that say where a row of a table without shapes is."""

ROW_NUMBERS = frozenset({"objectid", "fid", "gid", "ogc_fid", "oid", "row", "index", "pk"})
"""Numbers a program gives to rows: ids of last resort, because they change when a file is saved anew."""

LAYER_PHRASES: Mapping[str, tuple[str, ...]] = {
    "infestations": ("infestation", "weed", "weed map", "weed patch", "noxious weed", "noxious", "invasive",
                     "patch", "invasive plant", "weed survey", "weed inventory"),
    "surveyed_areas": ("surveyed area", "survey area", "searched area", "search area", "surveyed",
                       "survey extent", "inventory area", "area surveyed", "area searched"),
    "releases": ("release", "agent release", "biocontrol release", "release site", "release record",
                 "past release"),
    "visits": ("visit", "monitoring", "revisit", "recovery", "site visit", "follow up", "site check",
               "monitoring visit", "post release monitoring"),
    "requests": ("request", "agent request", "landowner request", "waiting list", "request list", "order"),
    "treatments": ("treatment", "spray", "spraying", "herbicide", "mowing", "grazing", "control work",
                   "treated area", "weed control", "weed treatment"),
    "land_classes": ("land class", "land use", "landuse", "land cover", "landcover", "zoning",
                     "protected area",
                     "land status", "reserve"),
    "boundaries": ("boundary", "county", "county boundary", "district", "jurisdiction", "state", "township",
                   "admin boundary", "weed district", "district boundary"),
    "roads": ("road", "street", "trail", "track", "highway", "centerline", "road network", "transport"),
    **MAP_PHRASES,
    "elevation": ("elevation", "dem", "dtm", "elev", "altitude", "height", "terrain", "srtm",
                  "digital elevation"),
    "tmin": ("tmin", "tmn", "tasmin", "minimum temperature", "temperature minimum", "min temp", "temp min",
             "mean daily minimum", "daily minimum", "tempmin", "mintemp"),
    "tmax": ("tmax", "tmx", "tasmax", "maximum temperature", "temperature maximum", "max temp", "temp max",
             "mean daily maximum", "daily maximum", "tempmax", "maxtemp"),
    "precipitation": ("precipitation", "rain", "rainfall", "precip", "monthly precipitation"),
    "bioclim": ("bioclim", "bio", "bioclimatic", "bioclimatic variable"),
    **WEATHER_PHRASES,
}  # fmt: skip
"""Per layer of ours: what files and layers of that kind are called."""

TELLING: Mapping[str, tuple[str, ...]] = {
    "infestations": ("cover", "area", "cover_scheme"),
    "surveyed_areas": ("result",),
    "releases": ("number", "life_stage", "source_site", "purpose", "permit"),
    "visits": ("result", "effort_hours", "observer", "count", "method", "release_id"),
    "requests": ("owner", "contact", "status"),
    "treatments": ("kind", "end"),
    "land_classes": ("class",),
    "boundaries": ("jurisdiction",),
    "roads": ("road_class",),
    **MAP_TELLING,
    **TABLE_TELLING,
}
"""Columns that set a layer apart from others of the same shapes."""

AGAINST: Mapping[str, tuple[tuple[str, str], ...]] = {
    "surveyed_areas": (("infestations", "cover"), ("infestations", "area"), ("treatments", "kind")),
    "infestations": (("treatments", "kind"), ("releases", "number")),
    "releases": (("visits", "result"), ("requests", "contact")),
    "visits": (("releases", "source_site"), ("requests", "contact")),
    "requests": (("visits", "result"), ("releases", "number"), ("releases", "life_stage")),
    "treatments": (("infestations", "cover"),),
    "land_classes": (
        ("infestations", "cover"),
        ("infestations", "survey_date"),
        ("boundaries", "jurisdiction"),
    ),
    "boundaries": (("infestations", "cover"), ("infestations", "survey_date"), ("treatments", "start")),
    **MAP_AGAINST,
    **TABLE_AGAINST,
}
"""Columns of another layer (layer, column) that speak against this one."""

WEAK_PHRASES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "infestations": {
        "survey_date": ("time", "timestamp"),
        "id": ("name", "label", "code", "obj", "object", "number"),
    },
    "releases": {"date": ("time", "timestamp"), "release_id": ("name", "label", "waypoint")},
    "visits": {"date": ("time", "timestamp"), "visit_id": ("name", "label", "waypoint")},
}
"""Names that say little: receivers and map programs give them to whatever a point is."""
