import pytest

from geo_scout.outputs.tables import PRIVATE_COLUMNS, WITHHELD, build_tables


@pytest.mark.parametrize("role", ["release", "source"])
def test_every_site_of_every_agent_has_a_row(sample, role):
    table = build_tables(sample, "crew")[role]
    expected = [(r.agent, site) for r in sample.rankings if r.role == role for site in r.table["site_id"]]
    assert list(zip(table["agent"], table["site_id"], strict=True)) == expected
    assert "public_cautions" not in table


def test_public_tables_withhold_people_and_places(sample):
    crew, public = build_tables(sample, "crew")["release"], build_tables(sample, "public")["release"]
    assert list(public.columns) == list(crew.columns)
    assert all((public[name] == "").all() for name in PRIVATE_COLUMNS if name in public)
    hidden = crew["exclusion_codes"].str.contains("permission-refused|land-forbidden")
    assert hidden.any()
    assert public.loc[hidden, "exclusion_codes"].str.contains("withheld").all()
    assert public.loc[hidden, "reasons"].str.contains(WITHHELD, regex=False).all()
    assert not public["reasons"].str.contains("permission").any()
    assert not public["cautions"].str.contains("call the manager|Ask before going").any()
    assert list(public["rank"].dropna()) == list(crew["rank"].dropna())


def test_reasons_other_than_private_ones_stay(sample):
    crew, public = build_tables(sample, "crew")["release"], build_tables(sample, "public")["release"]
    small = crew["exclusion_codes"] == "too-small"
    assert small.any()
    assert list(public.loc[small, "reasons"]) == list(crew.loc[small, "reasons"])
