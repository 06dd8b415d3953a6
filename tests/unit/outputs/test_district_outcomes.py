"""The table and the picture of releases by district, on the sample season."""

import csv
import xml.etree.ElementTree as ET

import pandas as pd
import pytest

from geo_scout.outputs.district_outcomes import COLUMNS, STATE_COLUMNS, build_districts, write_districts

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def table(sample):
    return build_districts(sample)


def test_years_add_up_to_all_years_and_districts_to_all_districts(table):
    counts = ["release_count", *STATE_COLUMNS]
    totals = table[table["year"].isna()].set_index(["agent", "district"])[counts]
    by_year = table[table["year"].notna()].groupby(["agent", "district"])[counts].sum()
    assert by_year.astype(int).equals(totals.sort_index().astype(int))
    for _, of_agent in totals.groupby("agent"):
        named = of_agent.reset_index("agent", drop=True)
        assert named.drop("all districts").sum().tolist() == named.loc["all districts"].tolist()
    assert (table[list(STATE_COLUMNS)].sum(axis=1) == table["release_count"]).all()


def test_each_release_is_counted_in_its_district_year_and_state(sample, table):
    for agent, evidence in sample.evidence.items():
        releases = pd.DataFrame(evidence.releases[["district", "date", "state"]])
        for (district, year, state), group in releases.groupby(
            ["district", releases["date"].dt.year, "state"]
        ):
            row = table[(table["agent"] == agent) & (table["district"] == district) & (table["year"] == year)]
            assert row[state.replace(" ", "_")].tolist() == [len(group)]


def test_rates_stand_with_all_years_and_are_those_of_the_evidence(sample, table):
    assert table.loc[table["year"].notna(), "found_share"].isna().all()
    for agent, evidence in sample.evidence.items():
        rows = table[(table["agent"] == agent) & table["year"].isna()]
        assert rows["revisited"].tolist() == [one.revisited for one in evidence.rates]
        assert rows["found_low_share"].tolist() == [round(one.found_low_share, 4) for one in evidence.rates]
        assert rows["most_share"].tolist() == [round(one.most_share, 4) for one in evidence.rates]
        assert rows["too_early"].tolist() == [one.too_early for one in evidence.rates]


def test_the_files_open_in_a_spreadsheet_and_name_no_site(sample, tmp_path):
    write_districts(tmp_path, sample)
    with (tmp_path / "districts.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert tuple(rows[0]) == COLUMNS
    assert all(row["release_count"].isdigit() for row in rows)
    picture = (tmp_path / "districts.svg").read_text(encoding="utf-8")
    said = " ".join(one.text or "" for one in ET.fromstring(picture).iter(f"{SVG}text"))
    for agent, evidence in sample.evidence.items():
        for rates in evidence.rates:
            assert f"{agent}, {rates.district or 'all districts'}" in said
            assert f"found: {rates.found} of {rates.revisited} revisited" in said
    sites = {site for one in sample.sites.values() for site in one.site_ids}
    assert not any(site in picture for site in sites)
