"""Which climate limit a name that is none was meant to be: a coldest night is not a coldest month."""

import re

from geo_scout.model.quantities import COLUMN_OF_LIMIT
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.wording import listed

_LIMITS = tuple(COLUMN_OF_LIMIT)
_ONCE = frozenset(
    ("extreme", "extremes", "record", "absolute", "night", "nights", "day", "lowest", "highest")
)
_COLD = frozenset(("min", "minimum", "cold", "coldest", "night", "nights", "lowest", "winter", "frost"))
_WARM = frozenset(("max", "maximum", "hot", "hottest", "warm", "warmest", "day", "highest", "summer", "heat"))


def limit_meant(name: str) -> str:
    """Return the advice for a limit of this name.

    Words of one night, one day or a record mean the extremes of the year, whatever the letters are like.

    >>> limit_meant("coldest_night_degc").partition(" It")[0]
    "did you mean 'annual_extreme_min_degc'?"
    >>> limit_meant("mean_coldest_month_degc")
    "did you mean 'mean_coldest_month_min_degc'?"
    """
    words = frozenset(re.findall(r"[a-z]+", name.casefold()))
    if words & _ONCE and not words & {"month", "mean"}:
        if words & _COLD:
            return (
                "did you mean 'annual_extreme_min_degc'? It is the coldest night of the year; "
                "mean_coldest_month_min_degc is a mean over a month and lies far above it."
            )
        if words & _WARM:
            return (
                "did you mean 'annual_extreme_max_degc'? It is the hottest day of the year; "
                "mean_warmest_month_max_degc is a mean over a month and lies well below it."
            )
    return did_you_mean(name, _LIMITS, f"the limits are {listed(_LIMITS, last='and')}.")
