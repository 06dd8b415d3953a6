"""Area-weighted sums by zone, added up a few cells at a time."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, csr_array


class ZoneSums:
    """What the cells of each zone add up to, as they come.

    Parameters
    ----------
    weights
        Zone x cell: covered area.
    """

    def __init__(self, weights: csr_array) -> None:
        self._by_cell = csc_array(weights)
        self._area = np.asarray(weights.sum(axis=1), dtype=np.float64)
        self._sum: dict[str, NDArray[np.float64]] = {}
        self._weight: dict[str, NDArray[np.float64]] = {}

    def add(self, cells: NDArray[np.intp], values: Mapping[str, NDArray[np.float64]]) -> None:
        """Add the values of some cells to the zones that cover them.

        Parameters
        ----------
        cells
            (n,) columns of the weights; each cell comes once only.
        values
            Quantity to (n,) values; nan counts for nothing.
        """
        first, last = self._by_cell.indptr[cells], self._by_cell.indptr[cells + 1]
        count = (last - first).astype(np.intp)
        cell = np.repeat(np.arange(len(cells)), count)
        entry = np.arange(len(cell)) + np.repeat(first - (np.cumsum(count) - count), count)
        zone, weight = self._by_cell.indices[entry], self._by_cell.data[entry]
        known, heavy = np.ones(len(cells), dtype=np.bool_), weight
        for name, value in values.items():
            is_known = np.isfinite(value)
            if not np.array_equal(is_known, known):
                # What is missing counts with no weight: quicker than leaving it out, and the same sums.
                known, heavy = is_known, weight * is_known[cell]
            if name not in self._sum:
                self._sum[name], self._weight[name] = np.zeros((2, len(self._area)))
            np.add.at(self._sum[name], zone, heavy * np.where(is_known, value, 0.0)[cell])
            np.add.at(self._weight[name], zone, heavy)

    def total(self, name: str) -> NDArray[np.float64]:
        """Return the weighted sum in each zone; 0 where nothing was added."""
        return self._sum.get(name, np.zeros(len(self._area)))

    def mean(self, name: str) -> NDArray[np.float64]:
        """Return the mean in each zone over the cells that have a value; nan where none has."""
        weight = self._weight.get(name, np.zeros(len(self._area)))
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.where(weight > 0, self.total(name) / weight, np.nan)

    def share(self, name: str) -> NDArray[np.float64]:
        """Return the share of each zone's area on cells that have a value; 0 where it has none [share]."""
        weight = self._weight.get(name, np.zeros(len(self._area)))
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.minimum(np.where(self._area > 0, weight / self._area, 0.0), 1.0)
