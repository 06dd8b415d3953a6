"""What a person's own dated catches say about a heat window."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

FEWEST_CATCHES = 8


@dataclass(frozen=True)
class Learned:
    """What dated catches say about heat.

    Parameters
    ----------
    catches
        ``station``, ``date``, ``count``, ``heat_year``, ``degree_days`` (sum at the end of that day, in the
        model's unit; nan where the weather has gaps before it), in order of station and date.
    is_enough
        Whether there are at least eight catches with a known heat.
    least, middle, most
        Heat at the first of the catches, at the day by which half of a season's catch is in (mean of the
        seasons), and at the last; nan where there are too few [degree-days].
    error_days
        Per season: predicted less seen day of the middle catch, from the middles of all other years; nan
        where there is no other year, or the heat is not reached [days].
    seasons
        Station and heat year of each error.
    """

    catches: pd.DataFrame
    is_enough: bool
    least: float
    middle: float
    most: float
    error_days: FloatArray
    seasons: tuple[tuple[str, int], ...]

    @property
    def found(self) -> pd.DataFrame:
        """Catches of at least one, with a known heat."""
        is_found = (self.catches["count"] > 0) & np.isfinite(self.catches["degree_days"])
        found: pd.DataFrame = self.catches.loc[is_found]
        return found

    @property
    def years(self) -> int:
        """Number of different heat years with a catch that counts."""
        return int(self.found["heat_year"].nunique())

    @property
    def mean_error_days(self) -> float:
        """Mean size of the error over the years left out; nan where no year could be predicted [days]."""
        known = self.error_days[np.isfinite(self.error_days)]
        return float(np.abs(known).mean()) if len(known) else float("nan")
