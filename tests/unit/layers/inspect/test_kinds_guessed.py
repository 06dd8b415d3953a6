from geo_scout.layers.inspect.kinds_guessed import assign_kinds, guess_layer

WEEDS = {"ID": ["1", "2", "3"], "SPECIES": ["ashthorn"] * 3, "COVER_PCT": ["5", "40", "80"]}
CHECKS = {
    "visit": ["a", "b"], "agent": ["weevil", "weevil"], "date": ["2024-05-06", "2024-05-07"],
    "found": ["yes", "no"],
}  # fmt: skip


def kinds(*found):
    return [layer.kind for layer in assign_kinds(found).layers]


def test_polygons_with_weed_and_cover_are_infestations_whatever_the_file_is_called(table):
    assert kinds(table("export_7.shp", WEEDS, shapes="polygons")) == ["infestations"]


def test_shapes_that_cannot_be_rule_a_layer_out(table):
    # The same columns drawn as polygons are no visits.
    assert kinds(table("visits.shp", CHECKS)) == ["visits"]
    assert kinds(table("visits.shp", CHECKS, shapes="polygons")) != ["visits"]
    assert guess_layer("visits", table("visits.shp", CHECKS, shapes="polygons")).score == 0.0


def test_points_with_an_answer_are_visits_and_with_a_number_releases(table):
    releases = {
        "release": ["a", "b"],
        "agent": ["weevil"] * 2,
        "date": ["2024-05-06"] * 2,
        "qty": ["100", "200"],
    }
    assert kinds(table("a.shp", CHECKS), table("b.shp", releases)) == ["releases", "visits"]


def test_lines_are_roads_but_weeds_along_a_road_are_infestations(table):
    road = table("a.shp", {"fclass": ["track", "primary"]}, shapes="lines")
    assert kinds(road) == ["roads"]
    assert kinds(table("b.shp", WEEDS, shapes="lines"), road) == ["infestations", "roads"]


def test_searched_ground_is_not_taken_for_weeds(table):
    searched = {
        "date": ["2024-05-06", "2024-05-07"],
        "result": ["none found", "surveyed"],
        "weed": ["a", "b"],
    }
    both = kinds(
        table("search_area.shp", searched, shapes="polygons"), table("w.shp", WEEDS, shapes="polygons")
    )
    assert both == ["infestations", "surveyed_areas"]


def test_a_column_of_cover_speaks_against_searched_ground_whatever_the_name_says(table):
    dated = WEEDS | {"date": ["2024-05-06"] * 3}
    assert kinds(table("surveyed_2024.shp", dated, shapes="polygons")) == ["infestations"]


def test_treatments_districts_and_land_are_told_apart(table):
    found = [
        table(
            "p1.shp", {"JOB_ID": ["a", "b"], "METHOD": ["spray", "mowing"], "START_DATE": ["2024-05-06"] * 2}
        ),
        table("p2.shp", {"COUNTY": ["Tessock", "Saltwick"], "STATE": ["Ostrane", "Ostrane"]}),
        table("p3.shp", {"LANDUSE": ["crop", "pasture"]}),
    ]
    polygons = [
        table(one.path.name, {c.name: list(c.values) for c in one.columns}, shapes="polygons")
        for one in found
    ]
    assert kinds(*polygons) == ["treatments", "land_classes", "boundaries"]


def test_of_two_of_a_kind_the_surer_is_used_and_the_other_is_told(table):
    sure = table("weeds.shp", WEEDS, shapes="polygons")
    other = table("old export.shp", WEEDS, shapes="polygons")
    assigned = assign_kinds([other, sure])
    assert [layer.path.name for layer in assigned.layers] == ["weeds.shp"]
    ((left, guess),) = assigned.rest
    assert (left.path.name, guess.kind) == ("old export.shp", "infestations")


def test_the_order_of_the_files_does_not_matter(table):
    found = [
        table("a.shp", CHECKS),
        table("weeds.shp", WEEDS, shapes="polygons"),
        table("r.shp", {"class": ["track"]}, shapes="lines"),
    ]
    assert kinds(*found) == kinds(*reversed(found)) == ["infestations", "visits", "roads"]


def test_what_fits_nothing_stays_over(table):
    assigned = assign_kinds([table("wells.shp", {"depth": ["12", "13"], "driller": ["a", "b"]})])
    assert assigned.layers == ()
    assert [(table.path.name, guess) for table, guess in assigned.rest] == [("wells.shp", None)]


def test_the_evidence_says_what_was_seen(table):
    guess = guess_layer("infestations", table("weeds.shp", WEEDS, shapes="polygons"))
    assert guess.evidence == ("polygons, 3 rows", "its name says 'weed'", "has host", "also COVER_PCT")
    guess = guess_layer("releases", table("releases.shp", {"agent": ["weevil", "weevil"]}))
    assert guess.evidence == ("points, 2 rows", "its name says 'release'", "lacks release_id, date")


def test_tables_in_the_terms_of_darwin_core_are_releases_and_visits(table):
    shared = {
        "scientificName": ["Brackenia alta", "Brackenia alta", "Brackenia alta"],
        "eventDate": ["2021-06-01", "2021-06-02", "2022-06-03"],
        "lifeStage": ["adult", "adult", "larva"],
        "individualCount": ["200", "100", "7"],
        "coordinateUncertaintyInMeters": ["30", "10", "30"],
        "geodeticDatum": ["WGS84"] * 3,
        "decimalLatitude": ["47.1", "47.2", "47.3"],
        "decimalLongitude": ["-109.1", "-109.2", "-109.3"],
    }
    put = {"eventID": ["E1", "E2", "E3"], **shared, "degreeOfEstablishment": ["released"] * 3}
    seen = {
        "eventID": ["W1", "W2", "W3"],
        "parentEventID": ["E1", "E2", "E2"],
        **shared,
        "occurrenceStatus": ["detected", "notDetected", "detected"],
        "samplingProtocol": ["sweep net"] * 3,
        "samplingEffort": ["1", "2", "1.5"],
        "recordedBy": ["A. Moss", "A. Moss", "B. Fern"],
        "catalogNumber": ["QV 1", "", "QV 2"],
    }
    nowhere = {"shapes": "no shapes", "crs": "", "bounds": None}
    assigned = assign_kinds([table("put.csv", put, **nowhere), table("seen.csv", seen, **nowhere)])
    found = {layer.kind: {guess.ours: guess.theirs for guess in layer.columns} for layer in assigned.layers}
    place = {"coordinate_uncertainty_m": "coordinateUncertaintyInMeters", "longitude_deg": "decimalLongitude",
             "latitude_deg": "decimalLatitude"}  # fmt: skip
    of_both = {"agent": "scientificName", "date": "eventDate", "life_stage": "lifeStage"}
    assert found == {
        "releases": {"release_id": "eventID", "number": "individualCount", **of_both, **place},
        "visits": {"visit_id": "eventID", "release_id": "parentEventID", "result": "occurrenceStatus",
                   "method": "samplingProtocol", "effort_hours": "samplingEffort", "observer": "recordedBy",
                   "voucher": "catalogNumber", "count": "individualCount", **of_both, **place},
    }  # fmt: skip
