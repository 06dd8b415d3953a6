import re

import numpy as np
import pytest

from geo_scout.exclusions.steep import exclude_too_steep

RULES = {"max_slope_deg": 30.0, "max_steep_share": 0.5}


def steep(books, share, slope_share=1.0, rules=RULES, role="release"):
    book = books.book(
        books.site(),
        role=role,
        rules=rules,
        climate={"steep_share": [share]},
        raster_share={"slope": [slope_share]},
    )
    return list(exclude_too_steep(book))


@pytest.mark.parametrize("role", ["release", "source"])
def test_steep_ground_leaves_out_with_share_both_limits_and_a_way_back(books, role):
    [found] = steep(books, 0.62, role=role)
    assert found.code == "too-steep"
    assert found.sentence == (
        "62.0% of the patch is steeper than 30 deg (max_slope_deg); your limit is 50% (max_steep_share)."
    )
    assert found.remedy == "max_steep_share of 0.6200, or a larger max_slope_deg, would bring it back."
    assert (found.measured, found.limit, found.unit) == (0.62, 0.5, "share")


def test_what_part_of_the_patch_it_is_of_is_said(books):
    [found] = steep(books, 0.62, 0.8)
    assert found.sentence.startswith("62.0% of the 80% of the patch that has a slope is steeper than 30 deg")


@pytest.mark.parametrize(("share", "is_out"), [(0.5, False), (0.50001, True), (1.0, True), (np.nan, False)])
def test_the_limit_itself_is_allowed_and_a_missing_slope_does_not_exclude(books, share, is_out):
    assert bool(steep(books, share)) == is_out


def test_the_printed_share_brings_the_patch_back(books):
    [found] = steep(books, 0.612344)
    raised = float(re.search(r"max_steep_share of ([0-9.]+)", found.remedy)[1])
    assert raised == 0.6124
    assert steep(books, 0.612344, rules={**RULES, "max_steep_share": raised}) == []


def test_without_a_limit_or_an_elevation_layer_nothing_is_too_steep(books):
    assert steep(books, 1.0, rules={}) == []
    assert list(exclude_too_steep(books.book(books.site(), rules=RULES))) == []
