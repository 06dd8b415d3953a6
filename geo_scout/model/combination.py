"""How the values of a site become its score."""

from dataclasses import dataclass
from typing import Literal

Method = Literal["weighted_sum", "weighted_product", "ideal_distance", "ordered_average"]
METHODS: tuple[Method, ...] = ("weighted_sum", "weighted_product", "ideal_distance", "ordered_average")

METHOD_LABELS: dict[Method, str] = {
    "weighted_sum": "weighted sum",
    "weighted_product": "weighted product",
    "ideal_distance": "distance to the ideal",
    "ordered_average": "ordered average",
}
HOW_SCORED: dict[Method, str] = {
    "weighted_sum": "the sum of the points",
    "weighted_product": "the product of value ^ weight over the criteria, so that one value of 0 makes it 0",
    "ideal_distance": "distance from the worst / (that + distance from the best) of the sites that may be "
    "ranked; one site more or less may change it",
    "ordered_average": "the values from the best to the worst, weighed with the attitude on top of their "
    "weights",
}


def method_words(method: Method, attitude: float | None = None) -> str:
    """Return a method with its attitude in words.

    >>> method_words("ordered_average", 0.25)
    'ordered average, attitude 0.25'
    """
    label = METHOD_LABELS[method]
    return label if attitude is None else f"{label}, attitude {attitude:g}"


@dataclass(frozen=True, slots=True)
class IdealPoint:
    """What a distance to the ideal measures one criterion against.

    Parameters
    ----------
    best, worst
        Largest and smallest value of the sites that may be ranked [0-1].
    root
        Root of the sum of their squares [1].
    site_count
        How many they are.
    """

    best: float
    worst: float
    root: float
    site_count: int
