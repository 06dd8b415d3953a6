import re

import pytest

from geo_scout.exclusions.establishment import exclude_confirmed


def near(books, distance_km, **given):
    """Return a site so far from a population outside every patch."""
    return books.site(population_id="at R9", population_distance_km=distance_km, **given)


def here(books, **given):
    """Return a site whose own patch holds a confirmed population."""
    return books.site(population_id="A-1", population_distance_km=0.0, confirmed=True, **given)


OWN = {"site_id": "A-1", "release_ids": "R3"}


def test_a_find_in_the_patch_leaves_a_release_site_out(books):
    [found] = exclude_confirmed(books.book(here(books), populations=[OWN]))
    assert found.code == "agent-confirmed"
    assert found.sentence == (
        "stem weevil was found in this patch, last on 2024-06-15 (visit V7, release R3)."
    )
    assert found.remedy == 'A request with the purpose "supplement" allows an occupied site.'
    assert (found.measured, found.limit, found.unit) == (0.0, 0.0, "km")


def test_a_find_nearby_leaves_out_within_occupied_km(books):
    book = books.book(near(books, 0.25), populations=[{}], rules={"occupied_km": 0.5})
    [found] = exclude_confirmed(book)
    assert found.sentence == (
        "stem weevil was found 0.250 km away (Ferrow bend), last on 2024-06-15 (visit V7); "
        "your limit is 0.5 km (occupied_km)."
    )
    assert found.remedy == "Lowering occupied_km below 0.250 km would bring it back."
    assert (found.measured, found.limit, found.unit) == (0.25, 0.5, "km")


@pytest.mark.parametrize(("distance_km", "is_out"), [(0.5, True), (0.500001, False), (0.0, True)])
def test_the_limit_itself_is_within(books, distance_km, is_out):
    book = books.book(near(books, distance_km), populations=[{}], rules={"occupied_km": 0.5})
    assert bool(list(exclude_confirmed(book))) == is_out


def test_the_printed_distance_brings_the_site_back(books):
    site = near(books, 0.29996)
    [found] = exclude_confirmed(books.book(site, populations=[{}], rules={"occupied_km": 0.5}))
    below_km = float(re.search(r"below ([0-9.]+) km", found.remedy)[1])
    lower = {"occupied_km": below_km - 1e-9}
    assert below_km == 0.299
    assert list(exclude_confirmed(books.book(site, populations=[{}], rules=lower))) == []


def test_a_later_empty_visit_is_said_but_the_find_still_counts(books):
    own = {**OWN, "latest_result": "not found on 2026-06-20"}
    [found] = exclude_confirmed(books.book(here(books), populations=[own]))
    assert "last on 2024-06-15; not found on 2026-06-20 (visit V7" in found.sentence


def test_supplement_allows_an_occupied_site_and_nursery_does_not(books):
    for purpose, count in (("supplement", 0), ("nursery", 1), ("new", 1)):
        book = books.book(here(books, purpose=purpose), populations=[OWN])
        assert len(list(exclude_confirmed(book))) == count


def test_a_release_nobody_visited_does_not_exclude(books):
    site = books.site(release_ids="R1", unvisited_release_ids="R1")
    assert list(exclude_confirmed(books.book(site, rules={"occupied_km": 5.0}))) == []


def test_sources_are_not_left_out_for_being_occupied(books):
    assert list(exclude_confirmed(books.book(here(books), populations=[OWN], role="source"))) == []


def test_a_patch_that_touches_an_occupied_one_is_not_that_patch(books):
    """Patches of two managers share an edge: 0 km apart, and yet only one of them is occupied."""
    rows = [
        books.site("A-1", population_id="A-1", population_distance_km=0.0, confirmed=True),
        books.site("A-2", population_id="A-1", population_distance_km=0.0),
    ]
    found = list(exclude_confirmed(books.book(*rows, populations=[OWN])))
    assert [one.site_id for one in found] == ["A-1"]
    _, touching = exclude_confirmed(books.book(*rows, populations=[OWN], rules={"occupied_km": 0.1}))
    assert "was found 0.000 km away (Ferrow bend)" in touching.sentence
    assert touching.remedy == "Lowering occupied_km to 0 would bring it back."


def test_of_two_touching_populations_each_patch_names_its_own(books):
    """The nearest population of both is 0 km away; the smallest position is not the patch's own."""
    rows = [
        books.site("A-1", population_id="A-1", population_distance_km=0.0, confirmed=True),
        books.site("A-2", population_id="A-1", population_distance_km=0.0, confirmed=True),
    ]
    populations = [{"site_id": "A-1", "found_by": "V1"}, {"site_id": "A-2", "found_by": "V2"}]
    first, second = exclude_confirmed(books.book(*rows, populations=populations))
    assert "in this patch, last on 2024-06-15 (visit V1)" in first.sentence
    assert "in this patch, last on 2024-06-15 (visit V2)" in second.sentence
