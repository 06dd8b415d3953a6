"""Freeze sigma dissimilarities by mpmath, at 60 digits and from the definition, for test_sigma_dissimilarity.py.

Run in an environment of its own:

    python -m venv elsewhere && elsewhere/bin/pip install mpmath==1.4.1
    elsewhere/bin/python tests/published/freeze_sigma.py

The share beyond D is the regularised upper incomplete gamma function Q(K / 2, D^2 / 2); sigma is where
erfc(sigma / sqrt 2) has the same logarithm, found by halving an interval 190 times.
"""

import json
from importlib.metadata import version
from pathlib import Path

from mpmath import mp

TARGET = Path(__file__).with_suffix(".json")
DISTANCES = ("0.001", "0.05", "0.5", "1", "2", "3.3", "5", "8", "8.5", "12", "38", "39", "100", "400", "1000")
DIMENSIONS = range(1, 9)


def sigma(distance, dimensions):
    target = mp.log(mp.gammainc(mp.mpf(dimensions) / 2, mp.mpf(distance) ** 2 / 2, regularized=True))
    low, high = mp.mpf(0), mp.mpf(distance) + 1
    for _ in range(190):
        middle = (low + high) / 2
        is_short = mp.log(mp.erfc(middle / mp.sqrt(2))) > target
        low, high = (middle, high) if is_short else (low, middle)
    return low


def freeze():
    mp.dps = 60
    rows = [
        [float(distance), dimensions, float(sigma(distance, dimensions))]
        for dimensions in DIMENSIONS
        for distance in DISTANCES
    ]
    lines = ",\n  ".join(json.dumps(row) for row in rows)
    TARGET.write_text(
        f'{{"program": "mpmath {version("mpmath")}",\n "distance_dimensions_sigma": [\n  {lines}\n]}}\n',
        encoding="utf-8",
    )


if __name__ == "__main__":
    freeze()
