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
        assert ours["rank"].is_monotonic_increasing


def test_a_request_brings_its_owner_and_contact(sample):
    calls = build_call_list(sample, build_tables(sample, "crew"))
    asked = calls[calls["why"].str.contains("request ")]
    requests = sample.layers.vectors["requests"].set_index("request_id")
    assert len(asked) > 0
    for row in asked.itertuples():
        ids = row.why.rpartition("request ")[2].split("; ")
        assert row.requested_by == "; ".join(requests.loc[ids, "owner"])
        assert row.contact == "; ".join(requests.loc[ids, "contact"])


def test_sites_left_out_are_not_called_about(sample):
    tables = build_tables(sample, "crew")
    calls = build_call_list(sample, tables)
    for role, table in tables.items():
        ranked = table[table["status"] == "ranked"]
        ours = calls[calls["role"] == role]
        pairs = set(zip(ours["agent"], ours["site_id"], strict=True))
        assert pairs <= set(zip(ranked["agent"], ranked["site_id"], strict=True))
