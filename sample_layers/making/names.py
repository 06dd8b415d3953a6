"""Every name in the sample, all of them made up."""

from dataclasses import dataclass

JURISDICTION_NORTH, JURISDICTION_SOUTH = "Harrowmere", "Ostrane"
DISTRICTS_NORTH = ("Orrin Bench", "Marrock Head")
DISTRICTS_SOUTH = ("Tessock", "Saltwick")

# Easting [m], northing [m]. The first three have a crew base.
TOWNS = {
    "Quillen Ford": (606_300.0, 5_221_300.0),
    "Marrock": (617_300.0, 5_230_000.0),
    "Saltwick": (619_300.0, 5_217_900.0),
    "Orrin": (596_500.0, 5_224_600.0),
    "Tessock": (599_500.0, 5_213_400.0),
    "Upper Marrock": (609_300.0, 5_232_600.0),
}

# Where the invented ground has its saddles and its tops: easting [m], northing [m].
PASSES = {
    "Fiddler's Pass": (594_060.0, 5_233_900.0),
    "Stony Saddle": (610_980.0, 5_235_580.0),
    "Lantern Pass": (621_540.0, 5_235_940.0),
    "Wether Gap": (617_940.0, 5_236_780.0),
    "Salt Pass": (609_780.0, 5_213_740.0),
}
TOPS = {
    "Grey Wether": (593_580.0, 5_236_900.0),
    "Dunmarrow Top": (620_940.0, 5_238_220.0),
    "Tinder Hill": (607_620.0, 5_232_940.0),
    "Osk Ridge": (615_420.0, 5_233_180.0),
    "Windy Knoll": (594_060.0, 5_214_100.0),
}

HOSTS = {"ashthorn": "ashthorn stem weevil", "brindlebell": "brindlebell leaf beetle"}


@dataclass(frozen=True)
class Manager:
    """Who looks after a piece of ground.

    Attributes
    ----------
    name
        As printed.
    parcels
        Names of the pieces.
    permission
        "yes", "no" or "" where nobody has asked.
    """

    name: str
    parcels: tuple[str, ...]
    permission: str


OWNERS = (
    Manager("Tallow Creek Grazing Board", ("TC-1", "TC-2", "TC-3", "TC-4"), "yes"),
    Manager("Marrock Commons Trust", ("MC-1", "MC-2", "MC-3", "MC-4"), "yes"),
    Manager("Quillen Land Office", ("QL-1", "QL-2", "QL-3", "QL-4"), "yes"),
    Manager("Saltwick Water Board", ("SW-1", "SW-2", "SW-3"), "yes"),
    Manager("Orrin Bench Growers", ("OB-1", "OB-2"), "yes"),
    Manager("Osk Ridge Ranch", ("OR-1", "OR-2"), "no"),
    Manager("Fenner's Hold", ("FH-1", "FH-2"), "yes"),
    Manager("Harl and Daughters", ("HD-1",), ""),
    Manager("Pell Meadow Company", ("PM-1", "PM-2"), ""),
    Manager("Tessock Horse Farm", ("TH-1", "TH-2"), "yes"),
    Manager("Vårly Mill", ("VM-1",), "yes"),
)
ROADS_OFFICE = Manager("Districts' Roads Office", ("road reserve",), "yes")
WARDENS = Manager("Wardens of the Dunmarrow Reserve", ("reserve",), "")

SITE_FIRST = (
    "Crooked",
    "Lower",
    "Upper",
    "Far",
    "Old",
    "Long",
    "Sunny",
    "Windy",
    "Stony",
    "Three Gate",
    "Broken",
    "Grey",
    "Nettle",
    "Lantern",
    "Heron",
    "Copper",
    "Fiddler's",
    "Miller's",
    "Tinder",
    "Salt",
    "Marl",
    "Wether",
    "Hollow",
    "Kestrel",
)
SITE_SECOND = (
    "bend",
    "bench",
    "bank",
    "draw",
    "crossing",
    "flat",
    "lick",
    "gully",
    "meadow",
    "terrace",
    "fence",
    "culvert",
    "spring",
    "landing",
    "corner",
    "slope",
    "pens",
    "bridge",
    "pit",
    "ford",
)
OBSERVERS = ("R. Quistell", "M. Oldane", "T. Varrin", "J. Pellock", "seasonal crew", "S. Amberley-Roke")
ASKERS = (
    "I. Harl",
    "Fenner's Hold",
    "D. Corrow",
    "Tessock Horse Farm",
    "Orrin school",
    "L. Brannoch-Veil",
    "Vårly Mill",
    "Marrock Commons Trust",
    "P. Stellin",
    "Saltwick Water Board",
    "K. Undermoor",
    "Pell Meadow Company",
    "A. Rookhallow",
    "Tallow Creek Grazing Board",
    "W. Tarnsby",
    "Quillen Land Office",
)
SOURCES = ("Ferrow Gorge nursery", "Old Sarrane collection ground", "Lower Sarrane meadows")
