from geo_scout.outputs.call_list import build_call_list
from geo_scout.outputs.tables import build_tables


def test_ranked_sites_that_need_a_call_are_listed_once_in_order(sample):
    tables = build_tables(sample, "crew")
    calls = build_call_list(sample, tables)
    release = tables["release"]
    unknown = release[(release["status"] == "ranked") & (release["permission"] == "unknown")]
    listed = calls[calls["role"] == "release"]
    assert len(unknown) > 0
    assert set(unknown["site_id"]) <= set(listed["site_id"])
    assert not listed.duplicated(["agent", "site_id"]).any()
    for _, ours in listed.groupby("agent"):
        assert ours["rank"].dropna().is_monotonic_increasing


def test_a_request_brings_its_owner_and_contact(sample):
    calls = build_call_list(sample, build_tables(sample, "crew"))
    asked = calls[calls["why"].str.contains("request ") & calls["rank"].notna()]
    requests = sample.layers.vectors["requests"].set_index("request_id")
    assert len(asked) > 0
    for row in asked.itertuples():
        ids = row.why.rpartition("request ")[2].split("; ")
        assert row.requested_by == "; ".join(requests.loc[ids, "owner"])
        assert row.contact == "; ".join(requests.loc[ids, "contact"])


def test_only_requests_bring_a_site_left_out_onto_the_list_with_its_reasons(sample):
    tables = build_tables(sample, "crew")
    calls = build_call_list(sample, tables)
    release = tables["release"].set_index(["agent", "site_id"])
    left_out = release[release["status"] == "left out"]
    listed = calls[(calls["role"] == "release") & calls["rank"].isna()]
    asked = left_out[left_out["request_ids"] != ""]
    assert len(asked) > 0
    assert set(zip(listed["agent"], listed["site_id"], strict=True)) == set(asked.index)
    for row in listed.itertuples():
        site = asked.loc[(row.agent, row.site_id)]
        assert (
            row.why
            == f"request {site['request_ids']}: tell them the site is left out ({site['exclusion_codes']})"
        )


def test_only_land_to_ask_about_is_named(sample):
    calls = build_call_list(sample, build_tables(sample, "crew"))
    asked = calls[calls["why"].str.contains("land to ask about")]
    assert len(asked) > 0
    assert not asked["why"].str.contains("pasture|crop").any()


def test_what_is_open_stands_before_what_is_always_checked(sample):
    calls = build_call_list(sample, build_tables(sample, "crew"))
    asked = calls[calls["stop_and_ask"] != ""]
    assert len(asked) > 0
    assert asked["stop_and_ask"].str.startswith("STOP AND ASK: ").all()
    for row in asked.itertuples():
        assert row.before_you_go.startswith(row.stop_and_ask)
    unknown = calls[calls["why"].str.contains("permission unknown")]
    assert len(unknown) > 0
    told = unknown["before_you_go"].str.partition("Before you go, check: ")
    assert told[0].str.endswith("Permission unknown: call the manager first. ").all()
