"""How much climate varies, against which a difference of two climates is measured; or why that is unknown."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

SpreadKind = Literal["regional", "interannual"]
SpreadReason = Literal["too_few_cells", "too_few_years", "no_spread", "exact_combination"]


@dataclass(frozen=True, slots=True)
class SpreadRule:
    """What a covariance must be true of before a distance is taken with it.

    Parameters
    ----------
    sample_per_variable
        Least cells or years for each variable (10 K; our choice, a common rule of thumb).
    least_years
        Least years of a year-to-year covariance, however few the variables (our choice).
    largest_condition
        Condition number of the correlation matrix above which variables are exact combinations of each
        other to within rounding, and refused by name.
    least_component_sd
        Principal components that vary less than this are left out [standard deviations of one variable].
        A hundredth, for a variable that varies by 2 degC, is 0.02 degC: less than any climate map resolves
        (our choice; Mahony et al. 2017 leave out more, below 0.1, from memory).
    """

    sample_per_variable: int = 10
    least_years: int = 20
    largest_condition: float = 1e8
    least_component_sd: float = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class ClimateSpread:
    """The covariance of K climate variables, with everything a reader needs beside a distance.

    Parameters
    ----------
    kind
        ``regional``: between the climate cells that hold the host; ``interannual``: between the detrended
        years of one place.
    variables
        Names, (K,).
    sample
        n, the cells or years with all variables.
    covariance
        (K, K) [products of own units].
    whitening
        (K, kept): climate times this has unit covariance, component by component, largest first.
    """

    kind: SpreadKind
    variables: tuple[str, ...]
    sample: int
    covariance: NDArray[np.float64]
    whitening: NDArray[np.float64]

    @property
    def kept(self) -> int:
        """Return the number of principal components that are compared: the K of sigma."""
        return int(self.whitening.shape[1])

    @property
    def is_truncated(self) -> bool:
        """Return whether components that hardly vary were left out."""
        return self.kept < len(self.variables)


@dataclass(frozen=True, slots=True)
class SpreadRefusal:
    """Why no distance is taken; whoever prints it finds the words.

    Parameters
    ----------
    kind
        Which covariance was asked for.
    reason
        ``too_few_cells`` or ``too_few_years``: ``have`` is less than ``need``; ``no_spread``: ``variables``
        never vary; ``exact_combination``: each of ``variables`` follows from the others of them.
    variables
        The variables concerned; for a sample that is too small, all of them.
    have, need
        Cells or years.
    """

    kind: SpreadKind
    reason: SpreadReason
    variables: tuple[str, ...]
    have: int
    need: int


STANDARD_RULE = SpreadRule()
