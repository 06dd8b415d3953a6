"""Patches: the order of rows, units and far-away ground are irrelevant; ground is never made."""

import geopandas as gpd
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import CRS

from geo_scout.sites import find_patches
from tests import sites_frames as frames

UNTIMED = settings(deadline=None, max_examples=25)  # the machine may be busy
metres = st.integers(0, 2_000)
sizes = st.integers(5, 900)
boxes = st.builds(lambda w, s, e, n: shapely.box(w, s, w + e, s + n), metres, metres, sizes, sizes)
triangles = (
    st.lists(st.tuples(metres, metres), min_size=3, max_size=3)
    .map(shapely.Polygon)
    .filter(lambda shape: shape.area > 100)
)
shapes = st.one_of(boxes, triangles)
dates = st.sampled_from([None, "2015-06-01", "2019-06-01", "2023-06-01"])
weeds = st.builds(
    lambda shape, date, manager, permission, result, cover_share: frames.row(
        shape,
        survey_date=date,
        manager=manager,
        permission=permission,
        result=result,
        cover_share=cover_share,
        cover_low_share=cover_share,
        cover_high_share=cover_share,
    ),
    shapes,
    dates,
    st.sampled_from(["", "Reed", "Moss"]),
    st.sampled_from(["yes", "no", "unknown"]),
    st.sampled_from(["present", "present", "present", "none found"]),
    st.sampled_from([0.0, 0.25, 1.0, float("nan")]),
)
lists = st.lists(weeds, max_size=7).map(
    lambda rows: [r | {"id": f"K{n}", "row": n} for n, r in enumerate(rows)]
)
surveys = st.lists(
    st.builds(lambda shape, date: frames.row(shape, survey_date=date), shapes, dates), max_size=3
)
districts = st.lists(
    st.builds(
        lambda shape, name: frames.row(shape, district=name, jurisdiction="J"),
        shapes,
        st.sampled_from(["N", "S", "E"]),
    ),
    max_size=3,
)
rules = st.fixed_dictionaries(
    {"join_m": st.sampled_from([0.0, 50.0, 300.0]), "max_patch_km": st.sampled_from([0.4, 1.0, 5.0])}
)


def find(rows, limits, **layers):
    return find_patches(frames.layers(infestations=rows, **layers), frames.season(rules=limits), frames.HOST)


def facts(patches: gpd.GeoDataFrame) -> list[dict[str, object]]:
    """Return what a patch is, without its outline and what rounding may move."""
    columns = ["site_id", "member_ids", "manager", "district", "permission", "survey_date"]
    return patches[columns].astype(str).to_dict("records")


@UNTIMED
@given(lists, surveys, districts, rules, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_irrelevant(rows, surveyed, bounds, limits, random):
    # On one day the first in the file wins, so each dated or undated row has a day of its own here.
    rows = [r | {"survey_date": f"20{10 + n}-0{1 + n % 9}-01"} for n, r in enumerate(rows)]
    layers = {"surveyed_areas": surveyed, "boundaries": bounds}
    shuffled = random.sample(rows, len(rows))
    layers_shuffled = layers | {"surveyed_areas": random.sample(surveyed, len(surveyed))}
    one, other = find(rows, limits, **layers).patches, find(shuffled, limits, **layers_shuffled).patches
    assert facts(one) == facts(other)
    np.testing.assert_allclose(one["gross_ha"], other["gross_ha"], rtol=1e-9)
    for mine, theirs in zip(one.geometry, other.geometry, strict=True):
        assert mine.symmetric_difference(theirs).area < 1e-3


@UNTIMED
@given(lists, surveys, districts, rules)
def test_ground_is_never_made_and_only_newer_surveys_take_it(rows, surveyed, bounds, limits):
    sites = find(rows, limits, surveyed_areas=surveyed, boundaries=bounds)
    present = [row["geometry"] for row in rows if row["result"] == "present"]
    drawn_m2 = shapely.union_all(present).area if present else 0.0
    assert sites.patches.area.sum() <= drawn_m2 + 1e-3
    assert sites.patches["gross_ha"].sum() * 1e4 == pytest.approx(sites.patches.area.sum(), abs=1e-3)
    assert sites.members["gross_ha"].sum() == pytest.approx(sites.patches["gross_ha"].sum())
    if not surveyed and all(row["result"] == "present" for row in rows):
        # Crumbs below 1 m2, a few for each time one outline is cut by another.
        assert sites.patches.area.sum() >= drawn_m2 - 10.0 * (1 + len(rows)) ** 2
    known = sites.patches[["infested_low_ha", "infested_high_ha", "gross_ha"]].to_numpy()
    assert (np.diff(known, axis=1) >= -1e-9).all()


@UNTIMED
@given(lists, rules, districts)
def test_every_patch_keeps_the_rules(rows, limits, bounds):
    sites = find(rows, limits, boundaries=bounds)
    patches = sites.patches
    assert patches["site_id"].is_unique
    assert patches["site_id"].is_monotonic_increasing
    west, south, east, north = patches.bounds.to_numpy().T
    assert (np.hypot(east - west, north - south) <= limits["max_patch_km"] * 1000 + 1e-6).all()
    assert patches.geometry.is_valid.all()
    for name in ("manager", "district"):
        assert (sites.members.groupby("site_id")[name].nunique() == 1).all()
    assert set(sites.members["site_id"]) == set(patches["site_id"])
    refused = sites.members.assign(no=sites.members["permission"] == "no").groupby("site_id")["no"]
    assert (refused.nunique() == 1).all()


FEET = CRS.from_proj4("+proj=laea +lat_0=47 +lon_0=-110 +datum=WGS84 +units=ft")
# The way through another system and back is exact to half a millimetre. On a grid of 7 m no gap is join_m
# and no crumb 1 m2 to that; the cap is left out, since equal halves of a cut have no order of their own.
coarse = st.integers(0, 300).map(lambda n: 7 * n)
coarse_boxes = st.builds(
    lambda w, s, e, n: shapely.box(w, s, w + 7 * e, s + 7 * n),
    coarse,
    coarse,
    st.integers(1, 90),
    st.integers(1, 90),
)


@UNTIMED
@given(
    lists, districts, st.sampled_from([0.3, 50.3, 299.6]), st.lists(coarse_boxes, min_size=10, max_size=10)
)
def test_units_of_the_files_are_irrelevant(rows, bounds, join_m, drawn):
    """The same ground from files in feet, and from files in degrees, is the same patches."""
    rows = [row | {"geometry": shape} for row, shape in zip(rows, drawn[:7], strict=False)]
    bounds = [row | {"geometry": shape} for row, shape in zip(bounds, drawn[7:], strict=False)]
    limits = {"join_m": join_m}
    plain, plain_ha = without_numbers(find(rows, limits, boundaries=bounds).patches)
    for crs in (FEET, CRS.from_epsg(4326)):
        vectors = {
            name: frames.layer(name, some).to_crs(crs).to_crs(frames.PLANE)
            for name, some in (("infestations", rows), ("boundaries", bounds))
        }
        layers = type(frames.layers())(crs=frames.PLANE, vectors=vectors, rasters={})
        other = find_patches(layers, frames.season(rules=limits), frames.HOST).patches
        found, found_ha = without_numbers(other)
        assert found == plain
        np.testing.assert_allclose(found_ha, plain_ha, atol=1e-3)


def without_numbers(patches):
    """Return the facts and areas [ha] in a set order: equally large pieces may change their numbers."""
    columns = ["member_ids", "manager", "district", "permission", "survey_date"]
    rows = sorted(
        patches[columns].astype(str).assign(ha=patches["gross_ha"]).itertuples(index=False, name=None)
    )
    return [row[:-1] for row in rows], [row[-1] for row in rows]


@UNTIMED
@given(lists, rules)
def test_far_ground_changes_nothing_here(rows, limits):
    far = frames.row(shapely.box(50_000, 50_000, 50_100, 50_100), id="far", row=99)
    here, both = find(rows, limits).patches, find([far, *rows], limits).patches
    assert facts(both[both["site_id"] != "ASHT-far"]) == facts(here)
