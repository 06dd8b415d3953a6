import re

import numpy as np
import pytest

from geo_scout.exclusions.size import exclude_too_small


def test_a_patch_below_the_limit_is_left_out_with_the_number_that_brings_it_back(books):
    book = books.book(books.site(infested_ha=0.15), rules={"min_infested_ha": 0.2})
    [found] = exclude_too_small(book)
    assert found.code == "too-small"
    assert found.sentence == "0.1500 ha infested; your limit is 0.2 ha (min_infested_ha)."
    assert found.remedy == "Lowering min_infested_ha to 0.1500 ha would bring it back."
    assert (found.measured, found.limit, found.unit) == (0.15, 0.2, "ha")


@pytest.mark.parametrize(("infested_ha", "is_out"), [(0.2, False), (0.2000001, False), (0.19999, True)])
def test_the_limit_itself_is_large_enough(books, infested_ha, is_out):
    book = books.book(books.site(infested_ha=infested_ha), rules={"min_infested_ha": 0.2})
    assert bool(list(exclude_too_small(book))) == is_out


def test_the_printed_number_brings_a_patch_a_hair_below_the_limit_back(books):
    patch = books.site(infested_ha=0.19999)
    [found] = exclude_too_small(books.book(patch, rules={"min_infested_ha": 0.2}))
    assert found.sentence.startswith("0.2000 ha")  # as in the tables
    lowered = float(re.search(r"to ([0-9.]+) ha", found.remedy)[1])
    assert lowered == 0.1999
    assert list(exclude_too_small(books.book(patch, rules={"min_infested_ha": lowered}))) == []


def test_unknown_cover_counts_as_the_most_it_can_be(books):
    large = books.site("A-1", infested_ha=np.nan, infested_low_ha=0.0, infested_high_ha=0.5)
    small = books.site("A-2", infested_ha=np.nan, infested_low_ha=0.0, infested_high_ha=0.1)
    [found] = exclude_too_small(books.book(large, small, rules={"min_infested_ha": 0.2}))
    assert (found.site_id, found.measured) == ("A-2", 0.1)


def test_without_a_limit_nothing_is_too_small(books):
    assert list(exclude_too_small(books.book(books.site(infested_ha=1e-6)))) == []


def test_ground_without_host_is_no_site_whatever_the_limit(books):
    [found] = exclude_too_small(books.book(books.site(infested_ha=0.0)))
    assert (found.code, found.sentence) == ("no-host", "the survey found no host here: 0 ha infested.")
    assert found.remedy == "A survey that finds the host would bring it back."
