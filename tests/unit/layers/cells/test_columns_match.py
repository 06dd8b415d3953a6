import pytest

from geo_scout.layers.cells.columns_match import match_columns
from geo_scout.layers.noticed import Noticed
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.layer_table import LayerTable

COLUMNS = VECTOR_LAYERS["infestations"].columns


def match(names, mapping=None, short_names=False):
    noticed = Noticed("infestations")
    table = LayerTable(path="weeds.gpkg", columns=mapping or {})
    return match_columns(COLUMNS, names, table, noticed, short_names=short_names), noticed


def test_mapping_first_then_our_own_names_whatever_their_capitals():
    matched, noticed = match(["WEED", "Canopy", "AREA", "other"], {"host": "weed", "cover": "Canopy"})
    assert matched == {"host": "WEED", "cover": "Canopy", "area": "AREA"}
    assert noticed.findings == []


def test_exact_spelling_wins_over_capitals():
    assert match(["HOST", "host"])[0] == {"host": "host"}


def test_column_with_another_meaning_is_not_taken_for_ours():
    assert match(["name", "area"], {"host": "name"})[0] == {"host": "name", "area": "area"}


def test_missing_required_column_stops_and_names_the_columns():
    matched, noticed = match(["hosts", "cover"])
    assert matched == {"cover": "cover"}
    [finding] = noticed.findings
    assert finding.text() == (
        "stop: layers.infestations\n"
        "  no column holds host (the weed's name, as in the agent's profile); the columns are hosts, cover.\n"
        "  Fix: Did you mean 'hosts'? Then write: columns = {host = \"hosts\"}"
    )
    assert finding.code == "column-missing"


def test_mapped_column_that_is_not_there_stops_even_when_optional():
    _, noticed = match(["host", "canopy_pct"], {"cover": "canopy_pc"})
    [finding] = noticed.findings
    assert (finding.code, finding.grade) == ("column-not-found", "stop")
    assert finding.what == "there is no column 'canopy_pc' for cover; the columns are host, canopy_pct."
    assert finding.fix == "Did you mean 'canopy_pct'? Then write: columns = {cover = \"canopy_pct\"}"


def test_key_that_is_no_column_of_ours_stops():
    _, noticed = match(["host", "CANOPY"], {"covr": "CANOPY"})
    [finding] = noticed.findings
    assert (finding.code, finding.grade) == ("column-key-unknown", "stop")
    assert finding.what.startswith(
        "`columns` names 'covr', which is no column of this layer; they are id, host,"
    )
    assert finding.fix == "Write one of ours before the equals sign. Did you mean 'cover'?"


@pytest.mark.parametrize(
    ("short_names", "expected"),
    [(True, {"host": "host", "survey_date": "survey_dat"}), (False, {"host": "host"})],
)
def test_shapefiles_cut_names_at_ten_characters(short_names, expected):
    matched, noticed = match(["host", "survey_dat"], short_names=short_names)
    assert matched == expected
    assert [finding.code for finding in noticed.findings] == ["column-shortened"] * short_names


def test_shortened_name_is_said_and_read(folder, told):
    folder.write(
        "infestations",
        [folder.square()],
        file="weeds.shp",
        host="ashthorn",
        cover=5.0,
        survey_date="2025-01-02",
    )
    layers = folder.read()
    assert str(layers.vectors["infestations"]["survey_date"].iloc[0]) == "2025-01-02 00:00:00"
    assert told(layers, "column-shortened") == (
        "note: layers.infestations\n"
        "  column 'survey_dat' was read as survey_date: shapefiles keep ten characters of a name.\n"
        '  Fix: To be sure of it, add: columns = {survey_date = "survey_dat"}'
    )


def test_a_missing_column_is_looked_for_among_what_people_call_it():
    _, noticed = match(["OBJECTID", "Weed_Species", "cover"])
    assert noticed.findings[0].fix == (
        "Did you mean 'Weed_Species'? Then write: columns = {host = \"Weed_Species\"}"
    )
    # A column that has a meaning already is not asked about.
    _, noticed = match(["species", "cover"], {"name": "species"})
    assert (
        noticed.findings[0].fix
        == 'Say which one it is: columns = {host = "YOURS"}; if none does, add one to the file.'
    )
