import numpy as np
import pytest

from geo_scout.layers.cells.text_values import as_numbers, as_texts, as_yes_no


def objects(*values):
    array = np.empty(len(values), dtype=object)
    array[:] = values
    return array


def test_texts_of_every_type():
    assert as_texts(objects("  a b ", None, 3, 3.0, 2.5, True, float("nan"))).tolist() == [
        "a b",
        "",
        "3",
        "3",
        "2.5",
        "true",
        "",
    ]
    assert as_texts(np.array([1, 20])).tolist() == ["1", "20"]
    assert as_texts(np.array([True, False])).tolist() == ["true", "false"]
    assert as_texts(np.array([1e17])).tolist() == ["100000000000000000"]


@pytest.mark.parametrize("text", ["12", "-0.5", "+3.", ".25", "1e3", " 7 "])
def test_numbers_as_python_reads_them(text):
    numbers, unreadable = as_numbers(objects(text))
    assert numbers.tolist() == [float(text)]
    assert unreadable.tolist() == [False]


@pytest.mark.parametrize("text", ["1,5", "1_000", "nan", "inf", "12 m", "1e999", "٣"])
def test_what_is_no_number(text):
    numbers, unreadable = as_numbers(objects(text))
    assert np.isnan(numbers).all()
    assert unreadable.tolist() == [True]


def test_missing_numbers_are_not_unreadable():
    numbers, unreadable = as_numbers(objects("", None, "  "))
    assert np.isnan(numbers).all()
    assert not unreadable.any()
    assert as_numbers(np.array([1.0, np.nan, np.inf]))[1].tolist() == [False, False, True]


def test_yes_and_no_of_numbers_and_booleans():
    texts = as_texts(objects(True, 0, 1.0, "N", None, "perhaps"))
    answers = as_yes_no(texts, ("yes", "true", "1"), ("no", "n", "0"))
    assert answers.tolist() == ["yes", "no", "yes", "no", "", "?"]
