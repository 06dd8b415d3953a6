import pytest

from geo_scout.layers.inspect.names import likeness, words_of


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("SURV_DATE", ("survey", "date")),
        ("surveyDate", ("survey", "date")),
        ("Größe-ha", ("grosse", "hectare")),
        ("Species", ("species",)),
        ("counties", ("county",)),
        ("land_classes", ("land", "class")),
        ("Acres", ("acre",)),
        ("___", ()),
        ("%Cover", ("percent", "cover")),
        ("GISAcres", ("gis", "acre")),
        ("UTMEasting", ("utm", "easting")),
        ("Size (acres)", ("size", "acre")),
    ],
)
def test_a_name_becomes_its_words(name: str, words: tuple[str, ...]) -> None:
    assert words_of(name) == words


def test_the_same_words_in_any_dress_are_alike() -> None:
    for name in ("release date", "RELEASE_DATE", "ReleaseDate", "rel_dt", "Date-Released"):
        score, _ = likeness(name, ["release date", "date released"])
        assert score == 1.0, name


def test_words_too_many_cost_their_share() -> None:
    # Three words of the file, one of the phrase.
    assert likeness("old_site_id", ["id"]) == (0.33, "id")


def test_a_name_cut_at_ten_characters_is_recognised() -> None:
    # Shapefiles keep ten characters: permission_granted becomes permission.
    assert likeness("coordinate", ["coordinate uncertainty"])[0] == 0.92
    assert likeness("coord", ["coordinate uncertainty"])[0] == 0.0


def test_a_misspelt_word_is_alike_and_another_is_not() -> None:
    assert likeness("permision", ["permission"])[0] > 0.8
    assert likeness("manager", ["parcel", "cover"]) == (0.0, "parcel")


def test_no_phrase_and_no_word_is_no_likeness() -> None:
    assert likeness("weed", []) == (0.0, "")
    assert likeness("_", ["weed"])[0] == 0.0


@pytest.mark.parametrize("name", ["Acres (GIS)", "GIS_ACRES", "acres [est.]", "calc acres"])
def test_brackets_and_how_a_value_was_found_cost_a_little(name: str) -> None:
    assert likeness(name, ["acre"]) == (0.95, "acre")


def test_a_name_that_is_all_brackets_is_still_a_name() -> None:
    assert likeness("(acres)", ["acre"]) == (1.0, "acre")
