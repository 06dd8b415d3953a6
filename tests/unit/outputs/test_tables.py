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


@pytest.mark.parametrize("role", ["release", "source"])
def test_what_to_check_claims_nothing_and_what_is_open_comes_first(sample, role):
    table = build_tables(sample, "crew")[role]
    assert table["before_you_go"].str.contains("Before you go, check: permits and law", regex=False).all()
    assert not table["before_you_go"].str.contains("checked;|permission given").any()
    refused = table[table["permission"] == "no"]
    assert len(refused) > 0
    assert refused["before_you_go"].str.contains("Permission refused: do not go.", regex=False).all()
    asked = table[table["stop_and_ask"] != ""]
    assert len(asked) > 0
    assert all(row.before_you_go.startswith(row.stop_and_ask) for row in asked.itertuples())
    given = table[(table["permission"] == "yes") & (table["stop_and_ask"] == "")]
    assert given["before_you_go"].str.startswith("Before you go, check: ").all()


def test_what_to_check_in_public_keeps_the_question_of_law_and_no_managers_answer(sample):
    crew, public = build_tables(sample, "crew")["release"], build_tables(sample, "public")["release"]
    assert list(public["stop_and_ask"]) == list(crew["stop_and_ask"])
    assert (public["stop_and_ask"] != "").any()
    assert not public["before_you_go"].str.contains("Permission ").any()


def test_the_best_source_of_a_release_site_is_ranked_and_so_is_the_gap_to_it(sample):
    tables = build_tables(sample, "crew")
    sources = tables["source"]
    ranked = sources[sources["status"] == "ranked"]
    pairs = set(zip(ranked["agent"], ranked["site_id"], strict=True))
    release = tables["release"]
    named = release[release["best_source_site_id"] != ""]
    assert len(named) > 0
    assert set(zip(named["agent"], named["best_source_site_id"], strict=True)) <= pairs
    # The best of all populations is at least as near as the best of those that can supply agents.
    assert (named["best_source_climate_gap"] >= named["climate_gap"]).all()
    # A release site that is itself a ranked source is nothing away from itself.
    own = named[named["best_source_site_id"] == named["site_id"]]
    assert (own["best_source_climate_gap"] == 0).all()


def test_public_tables_keep_how_sure_a_rank_is_and_name_nobody(sample):
    crew, public = build_tables(sample, "crew")["release"], build_tables(sample, "public")["release"]
    ranked = crew["status"] == "ranked"
    told = ["rank_low", "rank_high", "top_n_share", "eligible_share", "beats_next_share", "why_here"]
    for name in told:
        assert crew.loc[ranked, name].notna().any()
        assert public[name].equals(crew[name])
    assert list(public.loc[ranked, "what_would_change_it"]) == list(crew.loc[ranked, "what_would_change_it"])
    people = {name for one in sample.sites.values() for name in one.patches["manager"] if name}
    assert len(people) > 3
    words = " ".join(public.loc[ranked, "why_here"] + public.loc[ranked, "what_would_change_it"])
    assert not [name for name in people if name in words]
