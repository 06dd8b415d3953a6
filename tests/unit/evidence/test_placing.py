"""Which patch a point belongs to: a hectare whose eastern edge is at 100 m."""

import math

import geopandas as gpd
import numpy as np
import pytest

from geo_scout.evidence.placing import at_their_releases, nearest_patch, place_records


@pytest.fixture
def patches(frames):
    return gpd.GeoDataFrame(
        {"site_id": ["A-1", "A-2"]}, geometry=[frames.square(0), frames.square(200)], crs=frames.PLANE
    )


@pytest.mark.parametrize(
    ("east_m", "uncertainty_m", "site_id"),
    [
        (50, math.nan, "A-1"),
        (130, math.nan, "A-1"),  # 30 m from the edge where no uncertainty is stated
        (130.1, math.nan, ""),
        (104, 5, "A-1"),
        (106, 5, ""),  # a stated uncertainty counts as stated
        (145, 60, "A-1"),  # within 60 m of both: 45 and 55
        (155, 60, "A-2"),
        (150, 60, "A-1"),  # equally near: the smaller site_id
        (9000, 1e9, "A-2"),
    ],
)
def test_a_record_belongs_to_the_nearest_patch_within_its_uncertainty(
    frames, patches, east_m, uncertainty_m, site_id
):
    records = frames.layer(
        "releases", [frames.row(frames.point(east_m), coordinate_uncertainty_m=uncertainty_m)]
    )
    assert place_records(records, patches)["site_id"].tolist() == [site_id]


def test_each_point_has_its_own_tolerance(frames, patches):
    points = frames.layer("requests", [frames.row(frames.point(e)) for e in (120, 120, -10, 310)])
    assert nearest_patch(points, patches, np.array([19.0, 20.0, 9.0, 10.0])).tolist() == [
        "",
        "A-1",
        "",
        "A-2",
    ]


def test_no_patch_no_record_no_layer(frames, patches):
    records = frames.layer("releases", [frames.row(frames.point(0))])
    assert place_records(records, patches[:0])["site_id"].tolist() == [""]
    assert place_records(records[:0], patches)["site_id"].tolist() == []
    empty = place_records(None, patches)
    assert len(empty) == 0
    assert set(records.columns) - {"row"} | {"site_id"} <= set(empty.columns)
    assert set(frames.layer("visits", []).columns) - {"row", "result"} <= set(empty.columns)


@pytest.mark.parametrize(
    ("east_m", "release_id", "site_id"),
    [
        (140, "R1", "A-1"),  # 40 m outside the patch of its release, which it names
        (1049, "R1", "A-1"),
        (1051, "R1", ""),  # more than 1 km from the release at 50 m
        (140, "", ""),
        (140, "R9", ""),
        (140, "outside", ""),
        (230, "R1", "A-2"),  # in a patch of its own
    ],
)
def test_a_visit_around_its_release_counts_for_the_releases_patch(
    patches, frames, east_m, release_id, site_id
):
    at = {"R1": ("A-1", 50), "outside": ("", 160)}
    releases = gpd.GeoDataFrame(
        {"release_id": list(at), "site_id": [site for site, _ in at.values()]},
        geometry=[frames.point(east) for _, east in at.values()],
        crs=frames.PLANE,
    )
    own = "A-2" if east_m == 230 else ""
    visits = gpd.GeoDataFrame(
        {"release_id": [release_id], "site_id": [own]}, geometry=[frames.point(east_m)], crs=frames.PLANE
    )
    assert at_their_releases(visits, releases)["site_id"].tolist() == [site_id]
