import re

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from geo_scout.exclusions import spacing
from geo_scout.exclusions.spacing import exclude_too_close

# Squares of 100 m in a row; start at 0, 500, 1,000 and 3,000 m: gaps of 400, 400 and 1,900 m.
STARTS_M = {"A-1": 0.0, "A-2": 500.0, "A-3": 1000.0, "A-4": 3000.0}


def close(books, order, limit_km, role="release"):
    rows = [books.site(name, geometry=books.square(start)) for name, start in STARTS_M.items()]
    rules = {} if limit_km is None else {"min_spacing_km": limit_km}
    return exclude_too_close(books.book(*rows, role=role, rules=rules), order)


def gap_km(books, west_m, east_m):
    """Return the distance between two points of the squares' lower edge, by another library."""
    to_degrees = Transformer.from_crs(books.PLANE, 4326, always_xy=True)
    (longitude1, latitude1), (longitude2, latitude2) = (
        to_degrees.transform(m, 0.0) for m in (west_m, east_m)
    )
    return Geodesic.WGS84.Inverse(latitude1, longitude1, latitude2, longitude2)["s12"] / 1000


def test_the_worse_of_two_close_sites_is_left_out(books):
    [found] = close(books, ["A-1", "A-2", "A-4"], 0.5)
    assert (found.site_id, found.code) == ("A-2", "too-close")
    # The sides are parallel, so the gap may be taken at any of their heights; over 100 m that is 0.01 mm.
    assert found.measured == pytest.approx(gap_km(books, 100.0, 500.0), abs=1e-8)
    assert found.sentence == (
        f"{found.measured:.3f} km from A-1, which ranks better; your limit is 0.5 km (min_spacing_km)."
    )
    assert found.remedy.startswith("It comes back if A-1 drops out, or with min_spacing_km of ")
    assert (found.limit, found.unit) == (0.5, "km")


def test_a_site_left_out_takes_no_room(books):
    # A-2 is too close to A-1 and goes; A-3 is too close to A-2 only, and stays.
    assert [one.site_id for one in close(books, ["A-1", "A-2", "A-3", "A-4"], 0.5)] == ["A-2"]
    # With A-2 first both its neighbours go.
    assert [one.site_id for one in close(books, ["A-2", "A-1", "A-3", "A-4"], 0.5)] == ["A-1", "A-3"]


def test_a_larger_limit_can_free_a_site(books):
    # At 0.5 km A-2 stands in the way of, but not at 2.5 km, where A-4 leaves out.
    order = ["A-4", "A-2", "A-1", "A-3"]
    assert [one.site_id for one in close(books, order, 0.5)] == ["A-1", "A-3"]
    assert [one.site_id for one in close(books, order, 2.5)] == ["A-2", "A-3"]


def test_every_better_site_in_the_way_is_named(books):
    [found] = close(books, ["A-1", "A-3", "A-2"], 0.5)
    assert found.remedy.startswith("It comes back if A-1 and A-3 drop out, or")


def test_the_printed_spacing_brings_it_back_among_the_sites_of_the_list(books):
    [found] = close(books, ["A-1", "A-2", "A-4"], 0.5)
    lower = float(re.search(r"min_spacing_km of ([0-9.]+) km", found.remedy)[1])
    assert close(books, ["A-1", "A-2", "A-4"], lower) == []


def test_the_limit_itself_is_far_enough(books):
    gap = close(books, ["A-1", "A-2"], 0.5)[0].measured
    assert close(books, ["A-1", "A-2"], gap) == []
    assert len(close(books, ["A-1", "A-2"], gap + 1e-9)) == 1


def test_touching_sites_have_no_spacing_that_brings_them_back(books):
    rows = [books.site("A-1"), books.site("A-2", geometry=books.square(100.0))]
    [found] = exclude_too_close(books.book(*rows, rules={"min_spacing_km": 1.0}), ["A-1", "A-2"])
    assert found.sentence.startswith("0.000 km from A-1")
    assert found.remedy == "It comes back if A-1 drops out."


def test_off_unless_set_and_for_release_sites_only(books):
    order = ["A-1", "A-2", "A-3"]
    assert close(books, order, None) == []
    assert close(books, order, 5.0, role="source") == []
    assert close(books, [], 5.0) == []


def test_the_nearest_of_the_better_sites_is_measured_even_if_another_ranks_higher(books):
    rows = [
        books.site("A-1"),
        books.site("A-2", geometry=books.square(500.0)),
        books.site("A-3", geometry=books.square(900.0)),
    ]
    book = books.book(*rows, rules={"min_spacing_km": 0.45})
    [found] = exclude_too_close(book, ["A-1", "A-3", "A-2"])
    assert found.sentence.startswith("0.300 km from A-3, which ranks better;")  # A-1 is 400 m away
    assert found.measured == pytest.approx(0.3, abs=1e-6)
    assert found.remedy.startswith("It comes back if A-1 and A-3 drop out, or with min_spacing_km of ")


def test_a_supplement_neither_keeps_the_distance_nor_claims_it(books):
    rows = [
        books.site(name, geometry=books.square(start), purpose="supplement" if name == "A-1" else "new")
        for name, start in STARTS_M.items()
    ]
    book = books.book(*rows, role="release", rules={"min_spacing_km": 0.5})
    assert [found.site_id for found in exclude_too_close(book, ["A-1", "A-2", "A-3", "A-4"])] == ["A-3"]
    assert [found.site_id for found in exclude_too_close(book, ["A-2", "A-1", "A-4"])] == []


@pytest.mark.parametrize("at_once", [1, 3, 256])
def test_in_blocks_or_one_by_one_the_same_sites_stay(books, monkeypatch, at_once):
    monkeypatch.setattr(spacing, "SITES_AT_ONCE", at_once)
    starts_m = (
        np.random.default_rng(4).permutation(60) * 310.0
    )  # squares of 100 m in a row: gaps of 210 m and more
    names = [f"A-{number:02d}" for number in range(60)]
    rows = [
        books.site(name, geometry=books.square(start)) for name, start in zip(names, starts_m, strict=True)
    ]
    excluded = {
        one.site_id for one in exclude_too_close(books.book(*rows, rules={"min_spacing_km": 1.0}), names)
    }
    kept: list[float] = []
    for start in starts_m:
        if all(abs(start - other) - 100 >= 1000 for other in kept):
            kept.append(start)
    assert excluded == {name for name, start in zip(names, starts_m, strict=True) if start not in kept}
