"""The score's five colours keep their order for every reader, and the rank on them can be read."""

import re
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from geo_scout.outputs.map.static_files import read_static

# Machado, Oliveira & Fernandes 2009 (IEEE TVCG 15: 1291-1298), severity 1.0, on linear RGB; typed from
# memory, each row checked to sum to one. Grey: Rec. 709 luminance.
SEEN_AS = {
    "usual": np.eye(3),
    "protanopia": [
        [0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900],
    ],
}  # fmt: skip
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


def _ramp() -> list[str]:
    found = re.search(r"const RAMP = \[([^\]]*)\]", read_static("symbols.js"))
    assert found is not None
    return re.findall(r"#[0-9a-f]{6}", found.group(1))


def _linear(colour: str) -> NDArray[np.float64]:
    share = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def _contrast(one: float, other: float) -> float:
    return (max(one, other) + 0.05) / (min(one, other) + 0.05)


@pytest.mark.parametrize("eyes", SEEN_AS)
def test_each_step_is_darker_than_the_one_below_for_all_eyes(eyes: str) -> None:
    matrix = np.array(SEEN_AS[eyes])
    assert np.allclose(matrix.sum(axis=1), 1.0, atol=1e-5)
    shown = [float(LUMINANCE @ np.clip(matrix @ _linear(colour), 0, 1)) for colour in _ramp()]
    assert len(shown) == 5
    assert all(below > above and _contrast(below, above) > 1.4 for below, above in pairwise(shown))


def test_the_rank_stands_out_from_its_flag() -> None:
    dark, white = float(LUMINANCE @ _linear("#22303a")), 1.0
    # symbols.js: dark figures on the three lower steps, white on the two upper ones
    for step, colour in enumerate(_ramp()):
        ink = white if step >= 3 else dark
        assert _contrast(float(LUMINANCE @ _linear(colour)), ink) >= 4.5


def test_styles_and_symbols_use_the_same_steps() -> None:
    assert re.findall(r"--step-\d: (#[0-9a-f]{6});", read_static("page.css")) == _ramp()
