"""Climate as it is told: rounded to the decimals people read."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.quantities import CLIMATE_VARIABLES

FloatArray = NDArray[np.float64]

_DECIMALS = {"degc": 2, "mm": 1, "pct": 1, "degc x 100": 1}


def decimals_of_variable(variable: str) -> int:
    """Return the decimals a climate variable is told with."""
    return _DECIMALS[CLIMATE_VARIABLES[variable][0]]


def rounded_climate(climate: FloatArray, variables: Sequence[str]) -> FloatArray:
    """Return climate rounded to the decimals it is told with.

    A population's own climate cell is often a site's too; then the two differ in their last bits only, which
    depend on the reference system the layers came in. Whether one lies outside the range of the other must
    not.

    Parameters
    ----------
    climate
        (n, K), precipitation as log(P + 1) and rounded in millimetres [own units].
    variables
        Names, (K,).
    """
    rounded = np.array(climate, dtype=np.float64)
    for column, variable in enumerate(variables):
        decimals = decimals_of_variable(variable)
        if CLIMATE_VARIABLES[variable][0] == "mm":
            rounded[:, column] = np.log1p(np.round(np.expm1(rounded[:, column]), decimals))
        else:
            rounded[:, column] = np.round(rounded[:, column], decimals)
    return rounded
