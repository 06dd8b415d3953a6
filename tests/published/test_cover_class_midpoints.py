"""Cover classes against the published tables."""

import pytest

from geo_scout.formulas.cover_classes import SCHEMES, cover_from_class

# Daubenmire 1959, Northwest Science 33: 43-64, canopy-cover classes with midpoints (from memory). Braun-
# Blanquet: limits of 1 to 5 as in Bonham, Mergen & Montoya 2004; midpoints and + from memory. All in
# percent. The table's numbers are exact; the tolerance is that of a decimal fraction in binary.
TABLES = {
    "daubenmire": {
        "1": (0, 2.5, 5),
        "2": (5, 15, 25),
        "3": (25, 37.5, 50),
        "4": (50, 62.5, 75),
        "5": (75, 85, 95),
        "6": (95, 97.5, 100),
    },
    "braun-blanquet": {
        "+": (0, 0.5, 1),
        "1": (0, 2.5, 5),
        "2": (5, 15, 25),
        "3": (25, 37.5, 50),
        "4": (50, 62.5, 75),
        "5": (75, 87.5, 100),
    },
}


@pytest.mark.parametrize("name", list(TABLES))
def test_limits_and_midpoints(name):
    table = TABLES[name]
    assert set(SCHEMES) == set(TABLES)
    assert set(SCHEMES[name].classes) == set(table)
    for column, part in enumerate(cover_from_class(table, name)):
        assert 100 * part == pytest.approx([row[column] for row in table.values()], rel=1e-14)


@pytest.mark.parametrize("name", list(TABLES))
def test_a_midpoint_is_the_middle_of_its_class(name):
    # What "midpoint" means; exact but for binary fractions.
    low, mid, high = cover_from_class(TABLES[name], name)
    assert mid == pytest.approx((low + high) / 2, rel=1e-14)
