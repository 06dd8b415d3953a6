import numpy as np
import pandas as pd
import pytest

from geo_scout.model.presence import CAME_BACK
from geo_scout.model.record_columns import RELEASE_COLUMNS, VISIT_COLUMNS
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.map import places
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.public_places import COARSE, PLACE_OF_PATCH
from geo_scout.outputs.records_tables import build_releases, build_visits
from geo_scout.outputs.tables import build_tables

TABLES = {"releases": (build_releases, RELEASE_COLUMNS), "visits": (build_visits, VISIT_COLUMNS)}


@pytest.fixture(scope="module", params=list(TABLES))
def name(request):
    return request.param


def test_every_record_of_the_seasons_agents_is_there_once_in_the_fixed_columns(sample, name):
    build, columns = TABLES[name]
    table = build(sample, "crew")
    assert table.columns.tolist() == [column.name for column in columns]
    own_id = table.columns[0]
    layer = sample.layers.vectors[name]
    ours = layer["agent"].isin([agent.name for agent in sample.season.agents])
    assert sorted(table[own_id]) == sorted(layer.loc[ours, own_id])
    for _, of_agent in table.groupby("agent"):
        assert of_agent["date"].is_monotonic_increasing


def test_positions_are_those_of_the_layer_in_degrees(sample, name):
    table = TABLES[name][0](sample, "crew").set_index(TABLES[name][1][0].name)
    layer = sample.layers.vectors[name].set_index(table.index.name).to_crs(4326).loc[table.index]
    assert np.abs(table["longitude_deg"] - layer.geometry.x).max() <= 5.1e-7
    assert np.abs(table["latitude_deg"] - layer.geometry.y).max() <= 5.1e-7
    assert set(table["geodetic_datum"]) == {"EPSG:4326"}
    assert set(table["position_note"]) == {""}


def test_states_and_results_in_the_words_of_darwin_core(sample):
    releases, visits = build_releases(sample, "crew"), build_visits(sample, "crew")
    degrees = dict(zip(releases["state"], releases["degree_of_establishment"], strict=True))
    assert degrees["confirmed"] == "established"
    assert degrees["too early"] == "released"
    assert {degree for state, degree in degrees.items() if state not in ("confirmed", "too early")} == {""}
    pairs = set(zip(visits["result"], visits["occurrence_status"], strict=True))
    assert pairs == {("found", "detected"), ("not found", "notDetected")}


def test_a_public_copy_names_nobody_and_no_place_finer_than_the_patch(sample, name):
    build, _ = TABLES[name]
    crew, public = build(sample, "crew"), build(sample, "public")
    blank = [column for column in public if public[column].isna().all()]
    assert set(blank) >= {"releases": {"permit", "source_site", "purpose", "lost_on"},
                          "visits": {"observer", "voucher"}}[name] | {"coordinate_uncertainty_m"}  # fmt: skip
    kept = {"releases": ["state", "state_year"], "visits": ["result", "count"]}[name]
    for column in ("agent", "date", "district", "site_id", *kept):
        pd.testing.assert_series_equal(public[column], crew[column])
    inside = public["site_id"] != ""
    assert inside.any()
    assert set(public.loc[inside, "position_note"]) == {PLACE_OF_PATCH}
    assert set(public.loc[~inside, "position_note"]) <= {COARSE}
    patches = pd.concat([sites.patches for sites in sample.sites.values()]).set_index("site_id")
    printed = patches.loc[public.loc[inside, "site_id"], "longitude_deg"].to_numpy()
    assert np.abs(public.loc[inside, "longitude_deg"] - printed).max() <= 5.1e-7
    outside = public.loc[~inside, ["longitude_deg", "latitude_deg"]]
    assert (outside == outside.round(2)).all(axis=None)
    observers = {text for text in sample.layers.vectors["visits"]["observer"] if len(text) > 3}
    written = public.astype(str).to_csv()
    assert [text for text in observers if text in written] == []


def test_a_public_copy_says_that_a_population_is_lost_and_not_by_which_treatment(sample):
    public = build_releases(sample, "public")
    lost = public[public["state"] == "lost"]
    assert len(lost) > 0
    assert (
        lost["state_words"].str.fullmatch(r"lost \(\d{4}\)(, now <?\d+ %( \([^a-z]* to [^a-z]* %\))?)?").all()
    )
    assert not public["state_words"].str.contains("herbicide|T\\d|V\\d").any()


def test_no_word_of_a_public_copy_tells_destroyed_ground_from_faded(sample):
    destroyed = [str(words) for one in sample.evidence.values() for words in one.sites["state_words"]]
    assert any(CAME_BACK in words for words in destroyed)
    tables = build_tables(sample, "public")
    told = build_page(sample, tables, "public") + "".join(table.to_csv() for table in tables.values())
    assert CAME_BACK not in told


def test_a_public_map_holds_no_purpose_of_a_release(sample):
    agent = next(iter(sample.evidence))
    assert "purpose" not in places.records(sample, agent, "public")["releases"]
    assert set(places.records(sample, agent, "crew")["releases"]["purpose"]) >= {"new", "nursery"}


def test_a_season_without_records_has_tables_of_no_row(sample, name):
    build, columns = TABLES[name]
    empty = {
        agent: type(evidence)(**(vars(evidence) | {name: getattr(evidence, name).iloc[:0]}))
        for agent, evidence in sample.evidence.items()
    }
    table = build(type(sample)(**(vars(sample) | {"evidence": empty})), "public")
    assert table.shape == (0, len(columns))


def test_the_written_table_has_whole_numbers_and_no_formula(sample, tmp_path):
    table = build_visits(sample, "crew")
    table.loc[0, "voucher"] = "=1+1"
    write_csv(tmp_path / "visits.csv", table)
    text = (tmp_path / "visits.csv").read_text(encoding="utf-8-sig")
    read = pd.read_csv(tmp_path / "visits.csv", dtype=str, keep_default_na=False, encoding="utf-8-sig")
    assert read["voucher"][0] == "'=1+1"
    assert not read["count"].str.contains(".", regex=False).any()
    assert text.count("\n") == len(table) + 1


def test_every_column_has_a_meaning_and_a_name_of_its_own():
    for _, columns in TABLES.values():
        names = [column.name for column in columns]
        assert len(set(names)) == len(names)
        assert all(column.meaning for column in columns)
