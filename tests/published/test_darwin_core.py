"""The Darwin Core terms we name, against the standard's current list.

Read on 2026-11-26 from the public repository tdwg/dwc: names in dist/all_dwc_vertical.csv (commit 46a8bdce18bb),
values of occurrenceStatus in docs/list/2026-05-26.md (commit c13a04a0a32e, term version occurrenceStatus-2026-05-26),
values of degreeOfEstablishment in docs/doe/index.md (commit 237bf09e293c). The names below are those of the
terms that a record of a release or a visit could use: of the record, Occurrence, Organism, MaterialEntity,
Event, Location, Identification and Taxon names.
"""

import pytest

from geo_scout.model.columns import POSITION_COLUMNS, VECTOR_LAYERS
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.record_columns import (
    DEGREE_OF_ESTABLISHMENT,
    GEODETIC_DATUM,
    OCCURRENCE_STATUS,
    RELEASE_COLUMNS,
    VISIT_COLUMNS,
)

CURRENT = frozenset(
    [
        "basisOfRecord",
        "informationWithheld",
        "dataGeneralizations",
        "dynamicProperties",
        "occurrenceID",
        "catalogNumber",
        "recordNumber",
        "recordedBy",
        "recordedByID",
        "individualCount",
        "organismQuantity",
        "organismQuantityType",
        "sex",
        "lifeStage",
        "reproductiveCondition",
        "caste",
        "behavior",
        "vitality",
        "establishmentMeans",
        "degreeOfEstablishment",
        "pathway",
        "georeferenceVerificationStatus",
        "occurrenceStatus",
        "associatedMedia",
        "associatedOccurrences",
        "associatedReferences",
        "associatedTaxa",
        "otherCatalogNumbers",
        "occurrenceRemarks",
        "organismID",
        "organismName",
        "organismScope",
        "causeOfDeath",
        "associatedOrganisms",
        "previousIdentifications",
        "organismRemarks",
        "materialEntityID",
        "digitalSpecimenID",
        "materialEntityType",
        "preparations",
        "disposition",
        "verbatimLabel",
        "associatedSequences",
        "materialEntityRemarks",
        "materialSampleID",
        "eventID",
        "parentEventID",
        "eventType",
        "fieldNumber",
        "projectTitle",
        "projectID",
        "fundingAttributionID",
        "eventDate",
        "eventTime",
        "startDayOfYear",
        "endDayOfYear",
        "year",
        "month",
        "day",
        "verbatimEventDate",
        "habitat",
        "samplingProtocol",
        "sampleSizeValue",
        "sampleSizeUnit",
        "samplingEffort",
        "fieldNotes",
        "eventRemarks",
        "locationID",
        "higherGeographyID",
        "higherGeography",
        "continent",
        "waterBody",
        "islandGroup",
        "island",
        "country",
        "countryCode",
        "stateProvince",
        "county",
        "municipality",
        "locality",
        "verbatimLocality",
        "decimalLatitude",
        "decimalLongitude",
        "geodeticDatum",
        "coordinateUncertaintyInMeters",
        "coordinatePrecision",
        "pointRadiusSpatialFit",
        "verbatimCoordinates",
        "verbatimLatitude",
        "verbatimLongitude",
        "verbatimCoordinateSystem",
        "verbatimSRS",
        "georeferencedBy",
        "georeferencedDate",
        "georeferenceProtocol",
        "georeferenceSources",
        "georeferenceRemarks",
        "identificationID",
        "verbatimIdentification",
        "identificationQualifier",
        "identifiedBy",
        "identifiedByID",
        "dateIdentified",
        "identificationRemarks",
        "taxonID",
        "scientificName",
        "vernacularName",
    ]
)
DETECTION = frozenset({"detected", "notDetected"})
DEGREES = frozenset(
    {"native", "captive", "cultivated", "released", "failing", "casual", "reproducing", "established",
     "colonising", "invasive", "widespreadInvasive"}
)  # fmt: skip
TABLES = {
    "releases layer": VECTOR_LAYERS["releases"].columns,
    "visits layer": VECTOR_LAYERS["visits"].columns,
    "position columns": POSITION_COLUMNS,
    "releases.csv": RELEASE_COLUMNS,
    "visits.csv": VISIT_COLUMNS,
}


@pytest.mark.parametrize("table", TABLES)
def test_every_term_we_name_is_in_the_current_list_and_stands_for_one_column(table):
    terms = [column.term for column in TABLES[table] if column.term]
    assert terms
    assert set(terms) <= CURRENT
    assert len(set(terms)) == len(terms)


@pytest.mark.parametrize(
    ("layer", "terms"),
    [
        ("releases", {"eventID", "eventDate", "individualCount", "lifeStage", "coordinateUncertaintyInMeters"}),
        ("visits", {"eventID", "parentEventID", "eventDate", "occurrenceStatus", "samplingProtocol", "recordedBy",
                    "samplingEffort", "individualCount", "lifeStage", "coordinateUncertaintyInMeters"}),
    ],
)  # fmt: skip
def test_columns_with_a_term_of_the_same_meaning_carry_it(layer, terms):
    assert terms <= {column.term for column in VECTOR_LAYERS[layer].columns}


def test_the_tables_handed_out_say_where_in_which_system_and_what_was_coarsened():
    needed = {"decimalLongitude", "decimalLatitude", "geodeticDatum", "coordinateUncertaintyInMeters"}
    for columns in (RELEASE_COLUMNS, VISIT_COLUMNS):
        assert needed | {"dataGeneralizations"} <= {column.term for column in columns}
    assert "degreeOfEstablishment" in {column.term for column in RELEASE_COLUMNS}
    # The list asks for the EPSG code of the system.
    assert GEODETIC_DATUM == "EPSG:4326"


def test_controlled_values_are_those_of_the_standard():
    assert set(OCCURRENCE_STATUS.values()) == DETECTION
    assert set(DEGREE_OF_ESTABLISHMENT.values()) <= DEGREES


def test_both_words_of_the_current_list_and_those_before_it_are_read():
    words = {key: set(LayerTable.model_fields[key].default) for key in ("yes", "no")}
    assert {"detected", "present"} <= words["yes"]
    assert {"notdetected", "absent"} <= words["no"]
