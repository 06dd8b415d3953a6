"""What a criterion measured, per site, before any value or weight."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Self

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class CriterionValue:
    """A measure in physical units for every site.

    Parameters
    ----------
    unit
        Unit of the measure as it ends a column name (``ha``, ``km``); empty where it has none.
    value, low, high
        (n,) central value and the range the data allow; nan where nothing is known [criterion's unit].
    known
        (n,) False where the measure is missing.
    note
        (n,) one phrase per site on how it was measured or why it is missing.
    details
        Further columns for the tables, name to (n,) array.
    facts
        Lines that hold for every site and that a reader needs to redo the measure by hand.
    """

    unit: str
    value: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    known: NDArray[np.bool_]
    note: tuple[str, ...]
    details: Mapping[str, NDArray[np.generic]] = field(default_factory=dict)
    facts: tuple[str, ...] = ()

    @classmethod
    def exact(cls, unit: str, value: NDArray[np.float64], why_missing: str = "") -> Self:
        """Return a measure that is either known exactly or missing for the stated reason."""
        known = np.asarray(~np.isnan(value), dtype=np.bool_)
        note = tuple("" if is_known else why_missing for is_known in known)
        return cls(unit=unit, value=value, low=value, high=value, known=known, note=note)

    def column(self, name: str) -> str:
        """Return the table column of the measure of the criterion called ``name``."""
        return f"{name}_{self.unit}" if self.unit else name
