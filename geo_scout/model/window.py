"""When a crew can collect or release: scouting start, opening, peak and closing, and how that was found."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

WindowKind = Literal["degree_days", "host_stage", "calendar", "unknown"]

MOMENTS = ("scout", "opens", "peaks", "closes")


@dataclass(frozen=True)
class Window:
    """The four moments of a window at every site.

    Parameters
    ----------
    kind
        How the moments were found.
    day
        (4, n) days of `MOMENTS` in order, since the first instant of a date the caller keeps: for
        degree-days the start of counting; nan where a moment does not come, or nobody knows [days].
    known
        (4, n) False where nobody knows; nan with True means that the moment does not come this year.
    """

    kind: WindowKind
    day: NDArray[np.float64]
    known: NDArray[np.bool_]

    def __post_init__(self) -> None:
        """Refuse anything but four moments per site."""
        if self.day.ndim != 2 or len(self.day) != len(MOMENTS) or self.day.shape != self.known.shape:
            message = f"day has shape {self.day.shape} and known {self.known.shape}; (4, sites) is needed"
            raise ValueError(message)

    @property
    def scout_day(self) -> NDArray[np.float64]:
        """(n,) day from which scouts look [days]."""
        return np.asarray(self.day[0])

    @property
    def opens_day(self) -> NDArray[np.float64]:
        """(n,) first day of the window [days]."""
        return np.asarray(self.day[1])

    @property
    def peaks_day(self) -> NDArray[np.float64]:
        """(n,) best day of the window [days]."""
        return np.asarray(self.day[2])

    @property
    def closes_day(self) -> NDArray[np.float64]:
        """(n,) last day of the window [days]."""
        return np.asarray(self.day[3])
