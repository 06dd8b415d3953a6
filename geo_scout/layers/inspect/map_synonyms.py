"""What people call the layers that are for the map only: water, and places to be named.

Lines, lakes and points with a name are common, so nothing but a name that says water or places and nothing
else makes a table one of them: "rivers_2024" is water, "Snake River" may be anything along that river.
"""

from collections.abc import Mapping

MAP_PHRASES: Mapping[str, tuple[str, ...]] = {
    "water": ("water", "stream", "river", "creek", "brook", "lake", "pond", "reservoir", "canal", "ditch",
              "waterway", "waterbody", "watercourse", "hydrography", "hydrology", "hydro", "drainage",
              "nhd", "flowline"),
    "places": ("place", "place name", "town", "city", "village", "hamlet", "settlement", "populated place",
               "peak", "summit", "pass", "landmark", "gazetteer", "toponym", "gnis", "geographic name",
               "geoname"),
}  # fmt: skip
"""Per layer of ours: what files and layers of that kind are called."""

MAP_COLUMN_PHRASES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "places": {
        "name": ("name", "place name", "feature name", "gnis name", "geographic name", "town", "town name",
                 "city", "city name", "village", "settlement", "peak", "peak name", "label", "toponym",
                 "full name", "official name", "featurename", "fullname"),
    },
}  # fmt: skip
"""Per layer and column of ours: what that column is called elsewhere."""

MAP_TELLING: Mapping[str, tuple[str, ...]] = {"water": (), "places": ()}

MAP_AGAINST: Mapping[str, tuple[tuple[str, str], ...]] = dict.fromkeys(
    MAP_PHRASES,
    (("infestations", "host"), ("infestations", "cover"), ("releases", "agent")),
)
"""Columns of another layer (layer, column); one of them is enough for a table to be none of these."""

OF_THE_TRADE: frozenset[str] = frozenset(
    {"weed", "noxious", "invasive", "infestation", "infested", "treatment", "treated", "herbicide", "spray",
     "sprayed", "applied", "applicator", "action", "release", "released", "visit", "visited", "surveyed"}
)  # fmt: skip
"""Words in the name of a column that say the same."""

FILLERS: frozenset[str] = frozenset(
    {"layer", "map", "ne", "line", "area", "body", "polygon", "poly", "point", "feature", "network", "course",
     "centerline", "centreline", "name", "named", "data", "and", "of", "the", "all", "major", "main", "small",
     "gis", "osm", "free", "shp", "a", "l", "p"}
)  # fmt: skip
"""Words beside those above that a name may hold without saying anything else; numbers are such, too."""
