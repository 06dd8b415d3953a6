"""When a crew can collect or release: scouting start, opening, peak and closing."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOMENTS = ("scout", "opens", "peaks", "closes")


@dataclass(frozen=True)
class Window:
    """The four moments of a window at every site.

    Parameters
    ----------
    day
        (4, n) days of `MOMENTS` in order, since the first instant of a date the caller keeps: for
        degree-days the start of counting; nan where a moment does not come, or nobody knows [days].
    known
        (4, n) False where nobody knows; nan with True means that the moment does not come this year.
    """

    day: NDArray[np.float64]
    known: NDArray[np.bool_]

    def __post_init__(self) -> None:
        """Refuse anything but four moments per site."""
        if self.day.ndim != 2 or len(self.day) != len(MOMENTS) or self.day.shape != self.known.shape:
            message = f"day has shape {self.day.shape} and known {self.known.shape}; (4, sites) is needed"
            raise ValueError(message)
