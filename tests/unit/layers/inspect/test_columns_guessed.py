from geo_scout.layers.inspect.columns_guessed import guess_columns, position_of


def pairs(kind, found, hints=None):
    return {guess.ours: guess.theirs for guess in guess_columns(kind, found, hints)}


def test_trade_names_are_matched_by_meaning(table):
    found = table(
        "weeds.shp",
        {
            "OBJECTID": ["1", "2", "3"],
            "SPP_COMMON": ["ashthorn"] * 3,
            "PCT_COVER": ["5", "40", "80"],
            "GROSS_AC": ["1.5", "2.5", "3"],
            "INSP_DATE": ["spring", "autumn", "spring"],
            "OBS_DT": ["2024-05-06", "2024-06-01", "2024-06-02"],
            "LANDOWNER": ["A", "B", "B"],
        },
    )
    assert pairs("infestations", found) == {
        "id": "OBJECTID",
        "host": "SPP_COMMON",
        "cover": "PCT_COVER",
        "area": "GROSS_AC",
        "survey_date": "OBS_DT",
        "manager": "LANDOWNER",
    }


def test_a_name_alone_does_not_make_a_date(table):
    found = table("v.csv", {"visit_date": ["spring", "autumn"], "id": ["a", "b"]})
    assert "date" not in pairs("visits", found)


def test_each_column_is_used_once(table):
    found = table("r.csv", {"number": ["5", "6"], "id": ["a", "b"], "agent": ["weevil", "weevil"]})
    guessed = pairs("releases", found)
    assert sorted(guessed.values()) == ["agent", "id", "number"]


def test_our_own_name_goes_before_a_synonym(table):
    found = table("w.shp", {"weed": ["x", "y", "x"], "host": ["ashthorn", "brindlebell", "ashthorn"]})
    assert pairs("infestations", found)["host"] == "host"


def test_ids_of_another_layer_name_a_column_whatever_it_is_called(table):
    found = table("v.csv", {"K7": ["R1", "R2", "R1"], "visit": ["a", "b", "c"]})
    assert "release_id" not in pairs("visits", found)
    hinted = guess_columns("visits", found, {"release_id": {"r1", "r2", "r3"}})
    match = next(guess for guess in hinted if guess.ours == "release_id")
    assert (match.theirs, match.evidence) == (
        "K7",
        "3 of 3 values stand in another layer too; such as 'R1' and 'R2'",
    )


def test_a_row_number_is_an_id_of_last_resort(table):
    columns = {"FID": ["1", "2"], "REL_ID": ["R1", "R2"]}
    assert pairs("releases", table("r.shp", columns))["release_id"] == "REL_ID"
    lone = guess_columns("releases", table("r.shp", {"FID": ["1", "2"]}))[0]
    assert "change when the file is saved anew" in lone.evidence


def test_a_table_without_shapes_has_its_position_in_columns(table):
    columns = {"Lat": ["47.1", "47.2"], "Long": ["-109.5", "-109.6"], "id": ["a", "b"]}
    found = table("r.csv", columns, shapes="no shapes", crs="", bounds=None)
    assert pairs("releases", found) | {"longitude_deg": "Long", "latitude_deg": "Lat"} == pairs(
        "releases", found
    )
    assert "latitude_deg" not in pairs("releases", table("r.shp", columns))


def test_degrees_minutes_seconds_are_degrees(table):
    columns = {"Latitude": ["47°07'30\"N", "47°10'00\"N"], "Longitude": ["109°30'00\"W", "109°40'00\"W"]}
    found = table("r.csv", columns, shapes="no shapes", crs="", bounds=None)
    assert pairs("releases", found) == {"longitude_deg": "Longitude", "latitude_deg": "Latitude"}


def test_x_and_y_are_degrees_or_metres_by_their_numbers(table):
    near = {"X": ["-109.5", "-109.6"], "Y": ["47.1", "47.2"]}
    far = {"X": ["601234.5", "602234.5"], "Y": ["5216000", "5217000"]}
    bare = {"shapes": "no shapes", "crs": "", "bounds": None}
    assert pairs("releases", table("r.csv", near, **bare)) == {"longitude_deg": "X", "latitude_deg": "Y"}
    assert pairs("releases", table("r.csv", far, **bare)) == {"easting_m": "X", "northing_m": "Y"}


def test_degrees_go_before_a_grid_and_half_a_position_is_none(table):
    bare = {"shapes": "no shapes", "crs": "", "bounds": None}
    both = {
        "lat": ["47.1"],
        "lon": ["-109.5"],
        "easting": ["601234"],
        "northing": ["5216000"],
        "zone": ["12N"],
    }
    assert set(pairs("releases", table("r.csv", both, **bare))) == {"longitude_deg", "latitude_deg"}
    assert pairs("releases", table("r.csv", {"lat": ["47.1"]}, **bare)) == {}
    assert position_of(["northing_m", "utm_zone", "easting_m"]) == ("easting_m", "northing_m", "utm_zone")


def test_a_grid_reference_is_a_position(table):
    found = table("r.csv", {"MGRS": ["12TVT1234567890"]}, shapes="no shapes", crs="", bounds=None)
    assert pairs("releases", found) == {"grid_reference": "MGRS"}


def test_counts_are_no_ids(table):
    visits = table(
        "visits.csv",
        {
            "agent": ["stem weevil"] * 6,
            "date": ["2024-05-06"] * 6,
            "result": ["found", "not found"] * 3,
            "released": ["200", "150", "200", "200", "150", "100"],
            "visit": ["3", "0", "12", "3", "0", "0"],
        },
    )
    assert {"visit_id", "release_id"}.isdisjoint(one.ours for one in guess_columns("visits", visits))
    numbered = table(
        "visits.csv", {"release_id": ["1", "1", "2", "2", "3", "3"], "agent": ["stem weevil"] * 6}
    )
    assert "release_id" in {one.ours for one in guess_columns("visits", numbered)}


def test_efforts_with_their_unit_are_hours(table):
    visits = table("visits.csv", {"samplingEffort": ["1.5 person hours", "90 min"], "agent": ["a b", "a b"]})
    guess = next(one for one in guess_columns("visits", visits) if one.ours == "effort_hours")
    assert guess.theirs == "samplingEffort"
