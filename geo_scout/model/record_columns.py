"""The columns of the tables of releases and visits that a run hands out, for later tables of records, too."""

from dataclasses import dataclass

from geo_scout.model.columns import VECTOR_LAYERS

GEODETIC_DATUM = "EPSG:4326"
"""The reference system of the positions we print, as Darwin Core wants it written."""

OCCURRENCE_STATUS = {True: "detected", False: "notDetected"}
"""What Darwin Core calls found and not found."""

DEGREE_OF_ESTABLISHMENT = {"confirmed": "established", "too early": "released"}
"""What Darwin Core calls a state; the others say what is likely, for which it has no word."""


@dataclass(frozen=True, slots=True)
class RecordColumn:
    """One column of a printed table of records.

    Parameters
    ----------
    name
        Its name.
    meaning
        One phrase in the coordinator's words.
    term
        The Darwin Core term of the same meaning; empty where there is none.
    """

    name: str
    meaning: str
    term: str = ""


def _read(layer: str, *names: str) -> tuple[RecordColumn, ...]:
    """Return columns that are printed as they were read, in the words of the layer."""
    by_name = {column.name: column for column in VECTOR_LAYERS[layer].columns}
    return tuple(RecordColumn(name, by_name[name].meaning, by_name[name].term) for name in names)


_PLACE = (
    RecordColumn("longitude_deg", "longitude [deg]", "decimalLongitude"),
    RecordColumn("latitude_deg", "latitude [deg]", "decimalLatitude"),
    RecordColumn("geodetic_datum", "reference system of the two", "geodeticDatum"),
    *_read("releases", "coordinate_uncertainty_m"),
    RecordColumn("position_note", "what was done to the position in a public copy", "dataGeneralizations"),
    RecordColumn("site_id", "patch it lies in; blank outside every patch"),
)
_DISTRICT = RecordColumn("district", "district it lies in; blank where none is mapped")

RELEASE_COLUMNS: tuple[RecordColumn, ...] = (
    *_read("releases", "release_id", "agent", "date", "number", "life_stage", "source_site", "purpose",
           "permit"),
    *_PLACE,
    RecordColumn("place_id", "the patch, or the ground of its own the release stands for"),
    _DISTRICT,
    RecordColumn(
        "outcome",
        "found, not found, not visited, or found too early (so soon that it may be of the agents released, "
        "or dated before the release), by the visits that belong to the release",
    ),
    RecordColumn("visits", "number of these visits"),
    RecordColumn("last_visit", "day of the last of them"),
    RecordColumn("year_found", "year of the last find among them"),
    RecordColumn("state", "whether the agent lives in that place: confirmed, likely, possible, unlikely, "
                 "lost, too early"),
    RecordColumn("state_year", "year of the record the state rests on"),
    RecordColumn("state_words", "the state in a sentence"),
    RecordColumn("presence_low_share", "chance that it lives there on the season's day, lowest"),
    RecordColumn("presence_share", "the same, best"),
    RecordColumn("presence_high_share", "the same, highest"),
    RecordColumn("degree_of_establishment", "established where confirmed, released where it is too early to "
                 "say; blank otherwise", "degreeOfEstablishment"),
    RecordColumn("lost_on", "days of what ended it"),
)  # fmt: skip

VISIT_COLUMNS: tuple[RecordColumn, ...] = (
    *_read("visits", "visit_id", "release_id"),
    RecordColumn("release_link", "how the two came together: id, place, or blank for none"),
    *_read("visits", "release_date", "agent", "date"),
    RecordColumn("result", "found or not found"),
    RecordColumn("occurrence_status", "the same in the words of Darwin Core", "occurrenceStatus"),
    *_read("visits", "method", "effort_hours", "sign", "life_stage", "count", "counted_area_m2",
           "host_cover_pct", "observer", "voucher"),
    *_PLACE,
    _DISTRICT,
    RecordColumn("years_since_release", "years since the first release that counts for it"),
    RecordColumn("confirms", "yes where it is a find that confirms a population"),
    RecordColumn("says_nothing", "why a visit changes nothing; blank where it does"),
)  # fmt: skip
