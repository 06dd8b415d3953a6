import numpy as np
import pytest

from geo_scout.planning.chance_words import chance_words


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "no chance"),
        (0.049, "less than one chance in twenty"),
        (0.05, "one chance in ten"),
        (0.149, "one chance in ten"),
        (0.151, "two chances in ten"),
        (0.31, "three chances in ten"),
        (0.32, "one chance in three"),
        (0.36, "one chance in three"),
        (0.37, "four chances in ten"),
        (0.5, "even chances"),
        (0.6, "six chances in ten"),
        (0.64, "two chances in three"),
        (0.69, "seven chances in ten"),
        (0.9, "nine chances in ten"),
        (0.951, "more than nineteen chances in twenty"),
        (1.0, "no doubt"),
        (np.nan, "an unknown chance"),
    ],
)
def test_the_nearest_words_are_used(share, words):
    assert chance_words(np.array([share])).tolist() == [words]


def test_no_chances_no_words():
    assert chance_words(np.zeros(0)).tolist() == []
