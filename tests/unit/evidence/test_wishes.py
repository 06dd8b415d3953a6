"""Requests give a release site its purpose."""

import geopandas as gpd
import pytest

from geo_scout.evidence.wishes import purposes, unplaced_requests


@pytest.fixture
def wish(frames):
    patches = gpd.GeoDataFrame(
        {"site_id": ["A-1", "A-2"]}, geometry=[frames.square(0), frames.square(1000)], crs=frames.PLANE
    )

    def run(*rows, join_m=100.0):
        layer = None if rows == (None,) else frames.layer("requests", rows)
        table = purposes(layer, patches, frames.AGENT, join_m)
        assert table["site_id"].tolist() == ["A-1", "A-2"]
        return table[["request_ids", "purpose"]].to_numpy().tolist()

    return run


NOBODY = ["", "new"]


def test_a_supplement_counts_before_a_nursery_and_that_before_new_and_all_are_named_oldest_first(
    frames, wish
):
    rows = [
        frames.row(frames.point(50), request_id="a", purpose="new"),
        frames.row(frames.point(50), request_id="b", date="2025-03-01", purpose="nursery"),
        frames.row(frames.point(50), request_id="c", date="2024-03-01", purpose="supplement"),
        frames.row(frames.point(50), request_id="closed", date="2020-03-01", purpose="new", status="done"),
    ]
    assert wish(*rows) == [["c; b; a", "supplement"], NOBODY]
    assert wish(*rows[:2]) == [["b; a", "nursery"], NOBODY]
    assert wish(rows[3]) == [NOBODY, NOBODY]


@pytest.mark.parametrize(
    ("status", "counts"), [("open", True), ("Open", True), ("", True), ("filled", False)]
)
def test_only_open_requests_count(frames, wish, status, counts):
    row = frames.row(frames.point(1050), request_id="Q", status=status, purpose="nursery")
    assert wish(row) == [NOBODY, ["Q", "nursery"] if counts else NOBODY]


def test_requests_for_another_agent_do_not_count_and_for_any_agent_do(frames, wish):
    row = frames.row(frames.point(50), request_id="Q", purpose="nursery")
    assert wish(row | {"agent": "gall midge"}) == [NOBODY, NOBODY]
    assert wish(row | {"agent": ""}) == [["Q", "nursery"], NOBODY]


def test_a_blank_purpose_is_new(frames, wish):
    assert wish(frames.row(frames.point(50), request_id="Q", purpose="")) == [["Q", "new"], NOBODY]


@pytest.mark.parametrize(
    ("join_m", "east_m", "counts"), [(100, 200, True), (100, 201, False), (0, 130, True), (0, 131, False)]
)
def test_a_request_counts_within_join_m_but_at_least_30_m(frames, wish, join_m, east_m, counts):
    found = wish(frames.row(frames.point(east_m), request_id="Q", purpose="nursery"), join_m=join_m)
    assert found == [["Q", "nursery"] if counts else NOBODY, NOBODY]


def test_no_layer_and_no_request(wish):
    assert wish(None) == [NOBODY, NOBODY]
    assert wish() == [NOBODY, NOBODY]


def test_an_open_request_that_no_patch_carries_is_told(frames):
    patches = gpd.GeoDataFrame({"site_id": ["A-1"]}, geometry=[frames.square(0)], crs=frames.PLANE)
    rows = [
        frames.row(frames.point(50), request_id="near"),
        frames.row(frames.point(900), request_id="far"),
        frames.row(frames.point(900), request_id="closed", status="done"),
        frames.row(frames.point(900), request_id="other", agent="gall midge"),
    ]
    [found] = unplaced_requests(frames.layer("requests", rows), patches, frames.AGENT, 100.0)
    assert found.text() == (
        "caution: layers.requests feature far\n"
        "  the open request lies more than 100 m (join_m) from every patch of the host.\n"
        "  Fix: Move the request onto its infestation, map the infestation, or close the request."
    )
    assert found.longitude_deg is not None
    assert unplaced_requests(None, patches, frames.AGENT, 100.0) == []
