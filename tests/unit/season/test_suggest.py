import pytest

from geo_scout.season.suggest import did_you_mean, nearest


@pytest.mark.parametrize(
    ("word", "valid", "found"),
    [
        ("Infestations", ["infestations", "releases"], "infestations"),
        ("land classes", ["land_classes", "roads"], "land_classes"),
        ("land-classes", ["land_classes", "roads"], "land_classes"),
        ("bio1", ["bio01", "bio10", "bio11"], "bio01"),
        ("bio10", ["bio01", "bio10", "bio11"], "bio10"),
        ("wieght", ["weight", "curve"], "weight"),
        ("cruve", ["weight", "curve"], "curve"),
        ("elephant", ["weight", "curve"], None),
        ("anything", [], None),
    ],
)
def test_the_nearest_name(word: str, valid: list[str], found: str | None) -> None:
    assert nearest(word, valid) == found


def test_the_question_or_other_advice() -> None:
    assert did_you_mean("cruve", ["curve"], "write curve.") == "did you mean 'curve'?"
    assert did_you_mean("elephant", ["curve"], "write curve.") == "write curve."
