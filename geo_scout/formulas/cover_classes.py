"""Published cover classes: a class written in the field becomes a canopy cover with its limits."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_WHOLE_NUMBER = re.compile(r"([0-9]+)\.0+")


@dataclass(frozen=True)
class CoverScheme:
    """A set of cover classes.

    Attributes
    ----------
    name
        What the season file calls the scheme.
    source
        Where its limits and midpoints come from, and which of them are from memory.
    classes
        Label -> (lowest, middle, highest) canopy cover of the class [share].
    """

    name: str
    source: str
    classes: Mapping[str, tuple[float, float, float]]


_DAUBENMIRE = CoverScheme(
    name="daubenmire",
    source=(
        "Daubenmire, R. 1959. A canopy-coverage method of vegetational analysis. Northwest Science "
        "33: 43-64. Class limits and midpoints from memory."
    ),
    classes=MappingProxyType(
        {
            "1": (0.0, 0.025, 0.05),
            "2": (0.05, 0.15, 0.25),
            "3": (0.25, 0.375, 0.50),
            "4": (0.50, 0.625, 0.75),
            "5": (0.75, 0.85, 0.95),
            "6": (0.95, 0.975, 1.0),
        }
    ),
)

_BRAUN_BLANQUET = CoverScheme(
    name="braun-blanquet",
    source=(
        "Braun-Blanquet's cover-abundance classes 1 to 5 as read in Bonham, Mergen & Montoya 2004. The "
        "midpoints, and the whole of class +, are from memory: usage for + runs from 0.1 to 0.5 percent, "
        "0.5 is taken, with limits of 0 and 1."
    ),
    classes=MappingProxyType(
        {
            "+": (0.0, 0.005, 0.01),
            "1": (0.0, 0.025, 0.05),
            "2": (0.05, 0.15, 0.25),
            "3": (0.25, 0.375, 0.50),
            "4": (0.50, 0.625, 0.75),
            "5": (0.75, 0.875, 1.0),
        }
    ),
)

SCHEMES: Mapping[str, CoverScheme] = MappingProxyType(
    {scheme.name: scheme for scheme in (_DAUBENMIRE, _BRAUN_BLANQUET)}
)


def cover_from_class(
    labels: Iterable[object], scheme: CoverScheme | str
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the lowest, middle and highest canopy cover of the classes written in the field.

    Parameters
    ----------
    labels
        Class labels, (n,), text or numbers. Spaces around a label and capitals do not matter, and "3.0" is
        read as "3", since spreadsheets write it so.
    scheme
        A scheme or its name in `SCHEMES`.

    Returns
    -------
    low, mid, high : numpy.ndarray
        Canopy cover, each (n,); nan where the scheme has no such class or the label is missing [share].

    Raises
    ------
    ValueError
        There is no scheme of this name.

    Examples
    --------
    >>> low, mid, high = cover_from_class([" 3 ", 2.0, "?"], "daubenmire")
    >>> mid.tolist()
    [0.375, 0.15, nan]
    """
    if isinstance(scheme, str):
        if scheme not in SCHEMES:
            message = f"there is no cover scheme '{scheme}'; the schemes are {', '.join(SCHEMES)}"
            raise ValueError(message)
        scheme = SCHEMES[scheme]
    known = {_plain(label): limits for label, limits in scheme.classes.items()}
    unknown = (np.nan, np.nan, np.nan)
    rows = np.array([known.get(_plain(label), unknown) for label in labels], dtype=np.float64).reshape(-1, 3)
    return rows[:, 0].copy(), rows[:, 1].copy(), rows[:, 2].copy()


def _plain(label: object) -> str:
    text = str(label).strip().casefold()
    whole = _WHOLE_NUMBER.fullmatch(text)
    return whole.group(1) if whole else text
