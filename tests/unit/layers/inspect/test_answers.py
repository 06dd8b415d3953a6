import pytest

from geo_scout.layers.inspect.answers import sort_answers


@pytest.mark.parametrize(
    "word", ["Yes", "Y", "1", "true", "Found", "seen, many", "Established", "agent present"]
)
def test_plain_yes(word: str) -> None:
    assert len(sort_answers([word]).yes) == 1


@pytest.mark.parametrize(
    "word",
    ["No", "0", "none seen", "NOT FOUND", "not established", "absent", "no agents found", "not-recovered"],
)
def test_a_negation_anywhere_is_no(word: str) -> None:
    assert len(sort_answers([word]).no) == 1


def test_nobody_knows_is_neither() -> None:
    answers = sort_answers(["unknown", "Pending", "?"])
    assert (answers.unsure, answers.open) == (("unknown", "pending", "?"), ())


@pytest.mark.parametrize("word", ["maybe", "few", "eradicated", "present before spraying last year", ""])
def test_other_words_stay_open_for_the_user(word: str) -> None:
    answers = sort_answers([word])
    assert (answers.yes, answers.no, answers.unsure) == ((), (), ())
    assert answers.open == ((word,) if word else ())
