import pytest

from geo_scout.layers.cells.near_names import are_near, near_groups


@pytest.mark.parametrize(
    "other",
    ["Stem  Weevil", "stem-weevil", "stemweevil", "stem weevils", "stem weevill", "stem wevil", "stem weevli",
     "stem_weavil", "Stem weevil."],
)  # fmt: skip
def test_a_letter_a_hyphen_a_space_or_a_plural_apart(other):
    assert are_near("stem weevil", other)
    assert are_near(other, "stem weevil")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("stem weevil", "seed weevil"),
        ("stem weevil", "root weevil"),
        ("gall fly", "gall fle"),
        ("biotype 1", "biotype 2"),
        ("lot1998a", "lot1999a"),
        ("weevil A", "weevil B"),
        ("stem weevil", "stem weevil of the north"),
        ("stem weevil", "stam weavil"),
    ],
)
def test_names_of_two_things(one, other):
    assert not are_near(one, other)


def test_groups_grow_through_names_that_are_near_several():
    names = ["stem weevil", "leaf beetle", "stem weevilll", "Leaf-beetles", "stem weevill"]
    assert near_groups(names) == [[0, 2, 4], [1, 3]]
    assert near_groups([]) == []
